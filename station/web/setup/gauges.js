// Gauges. A caliper has been bought, or its cable sits in another socket. The person holds it, presses its button and
// wants to see what arrives before they believe in any setting. So the order is the hand's: socket, what it says, its
// name; then the figures of its certificate, which come from paper and must come exactly.

import {get, post} from "../kit/api.js";
import {ask, askPerson} from "../kit/dialog.js";
import {el, redraw} from "../kit/dom.js";
import {shownWithUnit} from "../kit/lengths.js";
import {sign} from "../kit/signs.js";
import {say} from "../kit/words.js";
import {gaugeForm} from "./gauge_form.js";
import {gaugeLine} from "./gauge_line.js";
import {listTable, loader, section, setupPage, together, trouble} from "./parts.js";

// In as few words as the frame has for it; the bench says the whole sentence to whoever measures.
function shortState(at) {
    if (!at?.connected) return say("page.setup.gauges.not_connected");
    if (at.ready) return say("page.setup.gauges.ready");
    return say(at.why?.code === "bench.calibration_over" ? "page.frame.gauge_calibration" : "page.frame.gauge_unproved");
}

export function show(root, context) {
    const page = setupPage(root, context, {title: say("page.setup.gauges.title"), lead: say("page.setup.gauges.lead")});
    const list = el("div");
    const load = loader(() => together(get("/api/gauges"), get("/api/ports")), draw);

    async function done(answer, words) {
        if (!answer) return;
        page.receipt(answer, words);
        await Promise.all([load(), context.refresh()]);
    }

    const line = gaugeLine({
        set: async (body) => {
            const answer = await post("/api/gauges/line", body);
            if (answer.ok) {
                await done(answer, say("page.setup.gauges.line_done", {gauge: body.gauge, port: body.port}));
                form.take({gauge: body.gauge});
            }
            return answer;
        },
        reading: (reading) => form.take({resolution_nm: reading.resolution_nm, unit: reading.unit}),
    });
    const form = gaugeForm({
        context,
        submit: async (body) => {
            const answer = await post("/api/gauges", body);
            if (answer.ok) await done(answer, say("page.setup.gauges.registered", {gauge: body.gauge, due: body.calibration_due}));
            return answer;
        },
    });

    async function withdraw(g) {
        const values = await ask({
            title: say("page.setup.gauges.withdraw_title", {gauge: g.gauge}),
            body: say("page.setup.gauges.withdraw_means"),
            fields: [{name: "reason", label: say("page.setup.reason"), type: "area", required: true}],
            yes: say("page.setup.gauges.withdraw"),
            danger: true,
        });
        if (!values) return;
        // What it measured may be held by this, so a lead signs for it.
        const answer = await askPerson({
            title: say("page.setup.gauges.withdraw_title", {gauge: g.gauge}),
            body: say("page.setup.gauges.withdraw_lead"),
            yes: say("page.setup.gauges.withdraw"),
            use: (by) => post("/api/gauges/withdraw", {gauge: g.gauge, reason: values.reason, by}),
        });
        await done(answer, say("page.setup.gauges.withdrawn", {gauge: g.gauge}));
    }

    // Registered ones, and those that have a line but no figures yet.
    function draw(body, why) {
        if (why) {
            redraw(list, trouble(why, load));
            return;
        }
        const [{gauges}, {ports}] = body;
        line.ports(ports);
        const bench = context.bench();
        const unit = bench?.limits?.shown_unit ?? "mm";
        const seen = new Map((bench?.gauges ?? []).map((g) => [g.gauge, g]));
        const known = new Set(gauges.map((g) => g.gauge));
        const bare = [...new Set([...ports.map((p) => p.gauge).filter(Boolean), ...seen.keys()])].filter((g) => !known.has(g));
        const portOf = (g) => ports.find((p) => p.gauge === g)?.path ?? "";
        redraw(
            list,
            listTable({
                caption: say("page.setup.gauges.here"),
                test: "gauges",
                rowTest: (g) => `gauge-row-${g.gauge}`,
                rows: [...gauges, ...bare.map((gauge) => ({gauge, bare: true}))],
                empty: say("page.setup.gauges.none"),
                columns: [
                    {
                        head: say("page.setup.gauges.gauge"),
                        rowhead: true,
                        cell: (g) => [el("span", {class: "setup-keep"}, g.gauge), portOf(g.gauge) ? el("code", {class: "setup-port"}, portOf(g.gauge)) : null],
                    },
                    {
                        head: say("page.setup.gauges.state"),
                        cell: (g) => {
                            const at = seen.get(g.gauge);
                            const connected = at?.connected ?? false;
                            const words = g.bare ? say("page.setup.gauges.not_registered") : g.withdrawn_yn || g.withdrawn ? say("page.setup.gauges.is_withdrawn") : shortState(at);
                            return el("span", {class: "setup-state"}, sign(connected && at?.ready ? "conforms" : connected ? "uncertain" : "off"), el("span", {}, words));
                        },
                    },
                    {head: say("page.setup.gauges.resolution"), number: true, cell: (g) => (g.resolution_nm ? shownWithUnit(g.resolution_nm, unit, 0) : "")},
                    {head: say("page.setup.gauges.uncertainty"), number: true, cell: (g) => (g.uncertainty_nm ? shownWithUnit(g.uncertainty_nm, unit, 0) : "")},
                    {head: say("page.setup.gauges.proof_limit"), number: true, cell: (g) => (g.proof_limit_nm ? shownWithUnit(g.proof_limit_nm, unit, 0) : "")},
                    {head: say("page.setup.gauges.due"), cell: (g) => el("span", {class: "setup-keep"}, g.calibration_due ?? "")},
                    {
                        head: el("span", {class: "unseen"}, say("page.setup.people.change")),
                        cell: (g) =>
                            el(
                                "div",
                                {class: "row"},
                                el("button", {type: "button", class: "office", aria: {label: say("page.setup.gauges.figures_of", {gauge: g.gauge})}, data: {test: `figures-${g.gauge}`}, on: {click: () => form.edit(g)}}, say("page.setup.gauges.figures")),
                                g.bare || g.withdrawn_yn || g.withdrawn
                                    ? null
                                    : el("button", {type: "button", class: "office", aria: {label: say("page.setup.gauges.withdraw_of", {gauge: g.gauge})}, data: {test: `withdraw-${g.gauge}`}, on: {click: () => withdraw(g)}}, say("page.setup.gauges.withdraw")),
                            ),
                    },
                ],
            }),
        );
    }

    page.body.append(
        section(say("page.setup.gauges.here"), "gauges-here", list),
        section(say("page.setup.gauges.line_title"), "gauge-line", el("p", {}, say("page.setup.gauges.line_lead")), line.node),
        section(say("page.setup.gauges.form_title"), "gauge-figures", el("p", {}, say("page.setup.gauges.form_lead")), form.node),
    );
    load();

    let lastSeen = "";
    return {
        update(bench) {
            const seen = JSON.stringify((bench?.gauges ?? []).map((g) => [g.gauge, g.connected, g.ready, g.why?.code]));
            if (seen === lastSeen) return;
            lastSeen = seen;
            load();
        },
        entry(entry) {
            if (entry.type.startsWith("gauge.")) load();
        },
        leave() {
            load.stop();
            line.leave();
        },
    };
}
