// The printer of the tags. Without one the tags are files, and nothing stops; with a wrong one they come out on the wrong
// paper, which nobody sees from here. So the page says what will happen, and to look at the first tag.
import {get, post} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {say, sayMessage} from "../kit/words.js";
import {makeForm} from "./form.js";
import {loader, section, setupPage, trouble} from "./parts.js";

export function show(root, context) {
    const page = setupPage(root, context, {title: say("page.setup.printer.title"), lead: say("page.setup.printer.lead")});
    const now = el("div");
    let inUse = {};
    let printers = [];
    const means = el("p", {class: "setup-note", role: "status", data: {test: "printer-means"}});
    let details = [];
    const nameOf = (p) => [p, details.find((d) => d.printer === p)?.info].filter(Boolean).join(" \u2013 ");
    const choice = (list) => [{value: "", text: say("page.setup.printer.none")}, ...list.map((p) => ({value: p, text: nameOf(p)}))];

    const form = makeForm({
        test: "printer-form",
        go: say("page.setup.printer.use"),
        fields: [
            {name: "printer", type: "choice", required: false, quiet: true, options: choice([]), label: say("page.setup.printer.printer"), hint: say("page.setup.printer.printer_hint")},
            {
                name: "size",
                type: "choice",
                options: [
                    {value: "100x150", text: say("page.setup.printer.size_100x150")},
                    {value: "100x50", text: say("page.setup.printer.size_100x50")},
                    {value: "a6", text: say("page.setup.printer.size_a6")},
                ],
                label: say("page.setup.printer.size"),
                hint: say("page.setup.printer.size_hint"),
            },
            {name: "dpi", type: "whole", value: "203", label: say("page.setup.printer.dpi"), hint: say("page.setup.printer.dpi_hint")},
            {node: means},
        ],
        submit: async (v) => {
            const answer = await post("/api/printer", {printer: v.printer, size: v.size, dpi: v.dpi});
            if (!answer.ok) return answer;
            page.receipt(answer, v.printer ? say("page.setup.printer.chosen", {printer: v.printer}) : say("page.setup.printer.chosen_none"));
            await Promise.all([load(), context.refresh()]);
            return null;
        },
    });
    form.input("printer").addEventListener("change", drawMeans);

    function drawMeans() {
        const name = form.input("printer").value;
        const at = details.find((d) => d.printer === name);
        const off = at && !at.accepting ? ` ${say("page.setup.printer.not_accepting", {said: at.said ?? ""})}` : "";
        means.textContent = (name ? say("page.setup.printer.with", {printer: name}) : say("page.setup.printer.without")) + off;
    }

    let first = true;
    const load = loader(
        () => get("/api/printers"),
        (body, why) => {
            if (why) {
                redraw(now, trouble(why, load));
                return;
            }
            printers = body.printers ?? [];
            details = body.details ?? [];
            inUse = body.in_use ?? {};
            const gone = inUse.printer && !printers.includes(inUse.printer);
            redraw(
                now,
                el("p", {data: {test: "printer-now"}}, inUse.printer ? say("page.setup.printer.now", {printer: inUse.printer, size: inUse.size ?? "", dpi: inUse.dpi ?? ""}) : say("page.setup.printer.now_none")),
                gone ? el("p", {class: "refusal", data: {test: "printer-gone"}}, say("page.setup.printer.gone", {printer: inUse.printer})) : null,
                printers.length === 0 ? el("p", {class: "setup-note", data: {test: "no-printers"}}, body.why?.code ? `${sayMessage(body.why)} ` : null, say("page.setup.printer.no_queues")) : null,
            );
            form.field("printer").options(choice(gone ? [...printers, inUse.printer] : printers), first ? (inUse.printer ?? "") : undefined);
            if (first) {
                if (inUse.size) form.set("size", inUse.size);
                if (inUse.dpi) form.set("dpi", String(inUse.dpi));
            }
            first = false;
            drawMeans();
        },
    );
    page.body.append(
        section(say("page.setup.printer.now_title"), "printer-now-section", now),
        section(say("page.setup.printer.choose"), "printer-choose", form.node),
    );
    drawMeans();
    load();
    return {
        update() {},
        entry(entry) {
            if (entry.type === "printer.chosen") load();
        },
        leave: () => load.stop(),
    };
}
