// Elements without markup: text is always text, so nothing that a person, a lot or a gauge is called can become code.
//
//   el("button", {class: "main", on: {click: go}, aria: {pressed: "true"}, data: {test: "go"}}, "Go", icon)
//   svg("circle", {cx: 5, cy: 5, r: 2})
//   redraw(root, ...children)   replaces the children; who was typing or stood on a button stands there afterwards

const SVG = "http://www.w3.org/2000/svg";

// Properties: class, text, on {event: fn}, aria {name: value}, data {name: value}, style {property: value}, and every
// other name is an attribute; false, null and undefined leave it away, true sets it empty.
function dress(node, props) {
    for (const [name, value] of Object.entries(props ?? {})) {
        if (value === undefined || value === null) continue;
        if (name === "class") node.setAttribute("class", value);
        else if (name === "text") node.textContent = value;
        else if (name === "value") node.value = value;
        else if (name === "on") for (const [event, act] of Object.entries(value)) node.addEventListener(event, act);
        else if (name === "aria") for (const [key, v] of Object.entries(value)) attribute(node, `aria-${key}`, v);
        else if (name === "data") for (const [key, v] of Object.entries(value)) attribute(node, `data-${key}`, v);
        else if (name === "style") for (const [key, v] of Object.entries(value)) node.style.setProperty(key, v);
        else if (typeof value === "boolean") node.toggleAttribute(name, value);
        else node.setAttribute(name, value);
    }
    return node;
}

function attribute(node, name, value) {
    if (value === undefined || value === null) return;
    node.setAttribute(name, String(value));
}

function fill(node, children) {
    for (const child of children.flat(Infinity)) {
        if (child === undefined || child === null || child === false || child === "") continue;
        node.append(child instanceof Node ? child : document.createTextNode(String(child)));
    }
    return node;
}

export function el(tag, props, ...children) {
    return fill(dress(document.createElement(tag), props), children);
}

export function svg(tag, props, ...children) {
    return fill(dress(document.createElementNS(SVG, tag), props), children);
}

// What a redraw must find again: an id, or else the hook that tests use.
function handle(node) {
    if (node.id) return `#${CSS.escape(node.id)}`;
    const hook = node.getAttribute("data-test");
    return hook ? `[data-test="${CSS.escape(hook)}"]` : null;
}

// A new picture in place of the old one. Focus stays on the element with the same id or data-test; a text box keeps
// what was typed into it and where the cursor stood; an open <details> stays open. Scrolled places stay scrolled when
// they have an id.
export function redraw(root, ...children) {
    const active = document.activeElement;
    const inside = active && active !== root && root.contains(active);
    const where = inside ? handle(active) : null;
    const typed = new Map();
    for (const box of root.querySelectorAll("input[id], textarea[id], select[id]"))
        if (box.dataset.keep !== "no")
            typed.set(box.id, box.type === "checkbox" || box.type === "radio" ? box.checked : box.value);
    const selection = inside && "selectionStart" in active ? [active.selectionStart, active.selectionEnd] : null;
    const open = new Map();
    for (const details of root.querySelectorAll("details[id]")) open.set(details.id, details.open);
    const scrolled = new Map();
    for (const place of root.querySelectorAll("[id]")) if (place.scrollTop > 0) scrolled.set(place.id, place.scrollTop);

    root.replaceChildren();
    fill(root, children);

    for (const [id, value] of typed) {
        const box = root.querySelector(`#${CSS.escape(id)}`);
        if (!box || box.dataset.keep === "no") continue;
        if (typeof value === "boolean") box.checked = value;
        else if (box.type !== "file") box.value = value;
    }
    for (const [id, was] of open) {
        const details = root.querySelector(`#${CSS.escape(id)}`);
        if (details) details.open = was;
    }
    for (const [id, top] of scrolled) {
        const place = root.querySelector(`#${CSS.escape(id)}`);
        if (place) place.scrollTop = top;
    }
    const again = where && root.querySelector(where);
    if (again && !again.disabled) {
        again.focus({preventScroll: true});
        if (selection && selection[0] !== null && again.setSelectionRange) again.setSelectionRange(...selection);
    }
    return root;
}

let counted = 0;
// An id for a label and its field.
export function newId(stem = "e") {
    counted += 1;
    return `${stem}-${counted}`;
}
