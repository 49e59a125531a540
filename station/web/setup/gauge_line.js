// Where a gauge's line is and what it speaks, with everything that arrives shown while the button is pressed: bytes,
// frames, readings, refusals. Nothing of it counts as a reading of the bench.
import {get} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {shownWithUnit} from "../kit/lengths.js";
import {sign} from "../kit/signs.js";
import {say, sayMessage} from "../kit/words.js";
import {makeForm} from "./form.js";

const MOST_LINES = 40; // kept of each kind

// "2B 30 31" and what would be read of it; a byte that is no letter is a dot.
export function bytesText(hex) {
    const bytes = (hex.replace(/\s/g, "").match(/../g) ?? []).map((h) => h.toUpperCase());
    const letters = bytes.map((h) => {
        const code = parseInt(h, 16);
        return code >= 0x20 && code < 0x7f ? String.fromCharCode(code) : "\u00b7";
    });
    return {hex: bytes.join(" "), letters: letters.join("")};
}

export function gaugeLine({set, reading}) {
    let ports = [];
    let source = null;
    let listening = "";
    let lastReading = null;

    const none = {value: "", text: say("page.setup.orders.choose")};
    const other = {value: "other", text: say("page.setup.gauges.port_other")};
    const doubt = el("div", {class: "setup-note", hidden: true, data: {test: "port-doubt"}});
    const unusable = el("div", {class: "setup-note", hidden: true, data: {test: "profiles-unusable"}});
    const boxes = {
        bytes: el("ol", {class: "setup-stream", data: {test: "listen-bytes"}}),
        frame: el("ol", {class: "setup-stream", data: {test: "listen-frames"}}),
        reading: el("ol", {class: "setup-stream", data: {test: "listen-readings"}}),
        refused: el("ol", {class: "setup-stream", data: {test: "listen-refusals"}}),
    };
    const state = el("p", {class: "setup-state", role: "status", data: {test: "listen-state"}});
    const view = el(
        "div",
        {class: "setup-listen", data: {test: "listen"}},
        state,
        ...[
            ["bytes", say("page.setup.listen.bytes")],
            ["frame", say("page.setup.listen.frames")],
            ["reading", say("page.setup.listen.readings")],
            ["refused", say("page.setup.listen.refusals")],
        ].map(([kind, name]) => el("div", {class: "setup-stream-box"}, el("h3", {}, name), boxes[kind])),
    );

    const form = makeForm({
        test: "line-form",
        go: say("page.setup.gauges.line_set"),
        fields: [
            {name: "port", type: "choice", options: [none, other], label: say("page.setup.gauges.port"), hint: say("page.setup.gauges.port_hint")},
            {name: "profile", type: "choice", options: [none], label: say("page.setup.gauges.profile"), hint: say("page.setup.gauges.profile_hint")},
            {name: "address", label: say("page.setup.gauges.address"), hint: say("page.setup.gauges.address_hint"), wide: true},
            {node: unusable},
            {node: doubt},
            {node: view},
            {name: "gauge", label: say("page.setup.gauges.gauge"), hint: say("page.setup.gauges.gauge_hint")},
        ],
        where: (why) => ({"bench.port_taken": "port"})[why.code] ?? null,
        submit: ({gauge, profile, port, address}) => set({gauge, profile, port: port === "other" ? address : port}),
    });
    const portInput = form.input("port");
    const profileInput = form.input("profile");
    const addressInput = form.input("address");

    function drawState(kind, words) {
        redraw(state, sign(kind), el("span", {}, words));
    }

    function add(kind, ...nodes) {
        boxes[kind].prepend(el("li", {}, nodes));
        while (boxes[kind].children.length > MOST_LINES) boxes[kind].lastChild.remove();
    }

    function hear() {
        const port = portInput.value === "other" ? addressInput.value.trim() : portInput.value;
        const key = port && profileInput.value ? `${port} ${profileInput.value}` : "";
        if (key === listening) return;
        listening = key;
        source?.close();
        source = null;
        lastReading = null;
        for (const box of Object.values(boxes)) box.replaceChildren();
        view.hidden = key === "";
        if (key === "") return;
        drawState("off", say("page.setup.listen.opening"));
        const mine = new EventSource(`/api/lines/listen?port=${encodeURIComponent(port)}&profile=${encodeURIComponent(profileInput.value)}`);
        source = mine;
        const on = (name, read) =>
            mine.addEventListener(name, (event) => {
                if (mine !== source) return;
                let data = null;
                try {
                    data = JSON.parse(event.data);
                } catch {
                    return;
                }
                read(data);
            });
        on("state", (d) => {
            if (d.connected) drawState("conforms", say("page.setup.listen.open"));
            else drawState("off", d.why?.code ? sayMessage(d.why) : say("page.setup.listen.closed"));
        });
        const shownBytes = (d) => {
            const {hex, letters} = bytesText(d.hex ?? "");
            return [el("code", {}, hex), el("code", {class: "muted"}, letters)];
        };
        on("bytes", (d) => add("bytes", ...shownBytes(d)));
        on("frame", (d) => add("frame", ...shownBytes(d)));
        on("reading", (d) => {
            lastReading = d;
            add("reading", el("b", {class: "number"}, shownWithUnit(d.value_nm, d.unit, d.resolution_nm)));
            reading(d);
        });
        on("refused", (d) => add("refused", el("span", {}, sayMessage(d.why)), d.hex ? el("code", {class: "muted"}, bytesText(d.hex).hex) : null));
        on("missed", (d) => add("bytes", say("page.setup.listen.missed", {count: d.events})));
        mine.addEventListener("error", () => {
            if (mine !== source) return;
            // The station ends the stream when the line cannot be had; it says why only to a plain question.
            drawState("off", say("page.setup.listen.lost"));
            mine.close();
            source = null;
            askWhy(port, profileInput.value, key);
        });
    }

    async function askWhy(port, profile, key) {
        const answer = await get(`/api/lines/listen?port=${encodeURIComponent(port)}&profile=${encodeURIComponent(profile)}`, 1500);
        if (listening !== key || answer.status < 400) return;
        drawState("off", sayMessage(answer.why));
    }

    function chosen() {
        form.field("address").node.hidden = portInput.value !== "other";
        const port = ports.find((p) => p.path === portInput.value);
        const words = [
            port?.doubt ? sayMessage(port.doubt) : port?.advice ? sayMessage(port.advice) : "",
            port?.gauge ? say("page.setup.gauges.port_used", {gauge: port.gauge}) : "",
        ].filter(Boolean);
        doubt.hidden = words.length === 0;
        redraw(doubt, words.map((w) => el("p", {}, w)));
        if (port?.gauge && form.input("gauge").value === "") form.set("gauge", port.gauge);
        hear();
    }
    portInput.addEventListener("change", chosen);
    profileInput.addEventListener("change", chosen);
    addressInput.addEventListener("change", chosen);
    form.field("address").node.hidden = true;
    view.hidden = true;

    const again = el(
        "button",
        {
            type: "button",
            class: "office",
            data: {test: "listen-again"},
            on: {
                click: () => {
                    listening = "";
                    hear();
                },
            },
        },
        say("page.setup.listen.again"),
    );
    view.append(el("div", {class: "wide buttons"}, again));

    get("/api/profiles").then((answer) => {
        if (!answer.ok) {
            form.show([{name: "profile", words: sayMessage(answer.why)}]);
            return;
        }
        const name = (p) => [p.title || p.profile, p.line ?? ""].filter(Boolean).join(" \u2013 ");
        form.field("profile").options([none, ...answer.body.profiles.map((p) => ({value: p.profile, text: name(p)}))], "");
        const broken = answer.body.unusable ?? [];
        unusable.hidden = broken.length === 0;
        redraw(unusable, broken.map((b) => el("p", {}, el("b", {}, b.file), ": ", sayMessage(b.why))));
    });

    return {
        node: form.node,
        ports(list) {
            ports = list;
            const name = (p) => [p.path, p.description, p.gauge ? say("page.setup.gauges.port_of", {gauge: p.gauge}) : ""].filter(Boolean).join(" \u2013 ");
            form.field("port").options([none, ...list.map((p) => ({value: p.path, text: name(p)})), other]);
        },
        get last() {
            return lastReading;
        },
        leave() {
            source?.close();
            source = null;
        },
    };
}
