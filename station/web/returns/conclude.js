// The end of a return: which cause a lead takes it for, what is to be done at the bench and where the hose is used; and
// the report, as the shop's own copy and as the customer's.

import {post} from "../kit/api.js";
import {ask} from "../kit/dialog.js";
import {el, redraw} from "../kit/dom.js";
import {language, say} from "../kit/words.js";
import {makeForm} from "../setup/form.js";

function papers(number) {
    const link = (copy, paper, lang, words) =>
        el("li", {}, el("a", {class: "button", href: `/api/returns.pdf?return=${encodeURIComponent(number)}&copy=${copy}&paper=${paper}&language=${lang}`, download: "", data: {test: `report-${copy}-${paper}-${lang}`}}, words));
    const langs = language() === "de" ? ["de", "en"] : ["en", "de"];
    const names = {en: say("page.value.english"), de: say("page.value.german")};
    const row = (copy, title, why) =>
        el(
            "div",
            {data: {test: `report-${copy}`}},
            el("h3", {}, title),
            el("p", {class: "hint"}, why),
            el("ul", {class: "returns-files"}, langs.flatMap((l) => ["a4", "letter"].map((p) => link(copy, p, l, `${p === "a4" ? "A4" : "Letter"}, ${names[l]}`)))),
        );
    return [row("internal", say("page.returns.report_internal"), say("page.returns.report_internal_why")), row("customer", say("page.returns.report_customer"), say("page.returns.report_customer_why"))];
}

function decided(data) {
    const c = data.concluded;
    const mode = data.ranking.modes.find((m) => m.mode === c.cause);
    const line = (name, text) => (text ? [el("dt", {}, name), el("dd", {}, text)] : null);
    return el(
        "dl",
        {class: "returns-do", data: {test: "concluded"}},
        line(say("returned.paper.judged"), mode ? say(mode.words) : say("returned.paper.cause_unknown")),
        line(say("returned.paper.decided_bench"), c.bench_action),
        line(say("returned.paper.decided_use"), c.application_action),
        line(say("returned.paper.remark"), c.remark),
    );
}

export function concludePart({page, number, reload}) {
    const node = el("div", {class: "setup-body", data: {test: "conclude"}});
    let key = null;

    function formFor(data) {
        const order = [...data.ranking.modes.filter((m) => m.reach), ...data.ranking.modes.filter((m) => !m.reach)];
        const first = order[0]?.reach ? order[0] : null;
        const form = makeForm({
            test: "conclude-form",
            go: say("page.returns.conclude_go"),
            fields: [
                {name: "cause", label: say("returned.paper.judged"), type: "choice", required: false, quiet: true, value: first?.mode ?? "", options: [...order.map((m) => ({value: m.mode, text: `${say(m.words)} (${m.points})`})), {value: "", text: say("returned.paper.cause_unknown")}]},
                {name: "bench_action", label: say("returned.paper.decided_bench"), type: "area", required: false, value: first ? say(first.bench) : "", wide: true},
                {name: "application_action", label: say("returned.paper.decided_use"), type: "area", required: false, value: first ? say(first.in_use) : "", wide: true},
                {name: "remark", label: say("returned.paper.remark"), type: "area", required: false, wide: true},
            ],
            where: (why) => ({"returned.say_why": "remark"})[why?.code] ?? null,
            submit: async (v) => {
                const answer = await post("/api/returns/conclude", {return: number, ...v});
                if (!answer.ok) return answer;
                await reload();
                page.receipt(answer, say("page.returns.was_concluded", {return: number}));
                return answer;
            },
        });
        // The actions of the cause that is chosen stand ready; what somebody wrote themselves is theirs.
        const own = (name) => !order.some((m) => [say(m.bench), say(m.in_use), ""].includes(form.input(name).value));
        form.input("cause").addEventListener("change", (event) => {
            const mode = order.find((m) => m.mode === event.target.value);
            if (!own("bench_action")) form.set("bench_action", mode ? say(mode.bench) : "");
            if (!own("application_action")) form.set("application_action", mode ? say(mode.in_use) : "");
        });
        return form.node;
    }

    const reopen = () =>
        ask({
            title: say("page.returns.reopen"),
            body: say("page.returns.reopen_why"),
            fields: [{name: "reason", label: say("page.returns.reason"), type: "area", required: true}],
            yes: say("page.returns.reopen"),
            use: async ({reason}) => {
                const answer = await post("/api/returns/reopen", {return: number, reason});
                if (answer.ok) await reload();
                return answer;
            },
        });

    return {
        node,
        draw(data) {
            // What was typed stays while others answer or measure.
            const next = `${data.about.concluded}`;
            if (next === key) return;
            key = next;
            const lead = page.may("lead");
            redraw(
                node,
                el(
                    "section",
                    {class: "panel setup-section"},
                    el("h2", {}, say("page.returns.step_conclude")),
                    data.about.concluded
                        ? [decided(data), lead ? el("div", {class: "returns-go"}, el("button", {type: "button", data: {test: "reopen"}, on: {click: reopen}}, say("page.returns.reopen"))) : null]
                        : lead
                          ? [el("p", {}, say("page.returns.conclude_why")), formFor(data)]
                          : el("p", {class: "setup-note"}, say("page.returns.lead_concludes")),
                ),
                page.may("lead", "setter", "auditor") ? el("section", {class: "panel setup-section", data: {test: "reports"}}, el("h2", {}, say("page.returns.report")), papers(number)) : null,
            );
        },
    };
}
