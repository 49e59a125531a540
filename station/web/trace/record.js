// One assembly's record: whether it is the one in hand, what it may be used for, when and how it was made, what was
// measured, where the certificate is, and how all that is proved.

import {at, bar, el, facts, knows, mm, panel, say, time} from "./kit.js";

const END = {a: "A", b: "B"};
const words = (...parts) => parts.filter((part) => part).join(" ");

export function whatIs(reading, end) {
    const place = reading.flat ? say("place", {flat: reading.flat}) : "";
    const name = words(say(`what.${reading.what}`), place);
    return end ? `${name}, ${say("end_of", {end: END[end]})}` : name;
}

function found(reading) {
    if (reading.value_nm !== undefined) return mm(reading.value_nm);
    if (reading.seen) return knows(`seen.${reading.seen}`) ? say(`seen.${reading.seen}`) : reading.seen;
    return say(reading.yes ? "yes" : "no");
}

function allowed(reading) {
    const {lower_nm: lower, upper_nm: upper} = reading;
    if (lower !== undefined && upper !== undefined) return `${mm(lower)} – ${mm(upper)}`;
    if (upper !== undefined) return `≤ ${mm(upper)}`;
    if (lower !== undefined) return `≥ ${mm(lower)}`;
    return "";
}

function readings(end) {
    const row = (r) =>
        el(
            "tr",
            {"data-test": `reading-${end.end}-${r.what}${r.flat ? `-${r.flat}` : ""}`},
            el("th", {scope: "row"}, whatIs(r), r.conceded ? el("div", {class: "loud"}, say("conceded_here")) : null),
            el("td", {class: "number"}, found(r)),
            el("td", {class: "number"}, allowed(r)),
            el("td", {class: r.margin_nm < 0 ? "number loud" : "number"}, r.margin_nm === undefined ? "" : mm(r.margin_nm)),
        );
    const head = [["what", ""], ["value", "number"], ["band", "number"], ["margin", "number"]].map(([name, kind]) => el("th", {scope: "col", class: kind || null}, say(`col.${name}`)));
    return el("table", {}, el("caption", {}, say("readings", {end: END[end.end]})), el("thead", {}, el("tr", {}, head)), el("tbody", {}, end.readings.map(row)));
}

function state(shown) {
    const {assembly, record} = shown;
    const worst = record?.worst;
    const why =
        assembly.state === "passed"
            ? worst
                ? say("why.passed", {margin: mm(worst.margin_nm), what: whatIs(worst, worst.end)})
                : ""
            : say(`why.${assembly.state}`);
    return el("section", {class: `state ${assembly.state}`, "data-test": "state"}, el("h2", {"data-test": "state-line"}, say(`head.${assembly.state}`, {serial: assembly.serial})), el("p", {}, why));
}

const hoseText = ({hose}) => words(hose.maker, hose.type, `-${hose.dash}`, hose.standard);
const fittingText = ({fitting}) => words(fitting.maker, fitting.series, fitting.form, fitting.size, fitting.family ? `(${fitting.family})` : "");

function length(assembly, record) {
    const band = record?.length_plus_nm === undefined ? "" : `(+${mm(record.length_plus_nm)} / −${mm(record.length_minus_nm)})`;
    return words(mm(assembly.overall_length_nm), "mm", band);
}

function yours({assembly, record}) {
    return panel(
        say("yours"),
        "yours",
        facts([
            [say("serial"), assembly.serial, "serial"],
            [say("part"), assembly.customer_part],
            [say("hose"), record ? hoseText(record.rows[0]) : ""],
            [say("hose_made"), record?.hose_made],
            [say("fitting", {end: "A"}), record ? fittingText(record.rows[0]) : ""],
            [say("fitting", {end: "B"}), record ? fittingText(record.rows[1]) : ""],
            [say("length"), length(assembly, record)],
            [say("orientation"), assembly.orientation_deg === undefined ? "" : `${assembly.orientation_deg}°`],
        ]),
        el("p", {class: "small"}, say("yours_how")),
    );
}

function rating({assembly, record}) {
    const hose = record?.rows[0].hose;
    return panel(
        say("rating"),
        "rating",
        facts([
            [say("pressure"), `${bar(assembly.working_pressure_kpa)} bar`, "pressure"],
            [say("temperature"), hose ? say("temperature_of", {min: hose.temperature_min_c, max: hose.temperature_max_c}) : ""],
            [say("bend"), hose ? `${mm(hose.bend_radius_nm)} mm` : ""],
        ]),
        el("p", {class: "small"}, say("rating_note")),
    );
}

function made(shown, links) {
    const {assembly, record, zone} = shown;
    const spec = (i) => (record ? say("spec_of", {spec: record.rows[i].spec, revision: record.rows[i].revision}) : "");
    return panel(
        say("when"),
        "made",
        facts([
            [say("passed_on"), record ? time(record.passed, zone) : time(assembly.passed, zone), "passed"],
            [say("passed_by"), record?.passed_by],
            [say("order"), links.order(assembly.order)],
            [say("spec", {end: "A"}), spec(0)],
            [say("spec", {end: "B"}), spec(1)],
            [say("hose_lot"), links.lot(assembly.hose_lot)],
            [say("fitting_lot", {end: "A"}), links.lot(assembly.fitting_a_lot)],
            [say("fitting_lot", {end: "B"}), links.lot(assembly.fitting_b_lot)],
            [say("recrimped"), assembly.recrimps > 0 ? say("recrimped_times", {count: assembly.recrimps}) : ""],
            [say("sent"), assembly.delivered ? `${assembly.delivered} (${assembly.delivery})` : say("not_sent")],
        ]),
        record?.clock_unsynced ? el("p", {class: "small"}, say("clock")) : null,
    );
}

function measured({record, zone}) {
    const gauges = record.gauges.map((gauge) => say("gauge", gauge)).join(", ");
    const tests = record.proof_tests.map((test) =>
        el("li", {}, say("proof_of", {bar: bar(test.reached_kpa), seconds: test.held_s, medium: test.medium, date: time(test.at, zone), by: test.by, result: say(test.passed ? "proof_good" : "proof_bad")})),
    );
    return el(
        "section",
        {class: "panel", "data-test": "measured"},
        record.ends.map(readings),
        el("p", {class: "small"}, say("uncertainty", {gauges})),
        el("h3", {}, say("proof_test")),
        tests.length > 0 ? el("ul", {}, tests) : el("p", {}, say("proof_none")),
    );
}

function concessions({record, zone}) {
    if (record.concessions.length === 0) return null;
    const one = (c) => el("li", {}, say("concession_of", {reference: c.reference || record.concession_reference, reason: c.reason, by: words(c.by, c.second && `/ ${c.second}`), date: time(c.at, zone)}));
    return panel(say("concession"), "concession", el("ul", {}, record.concessions.map(one)));
}

// What speaks against a use is seen at once; what was fine or not stated, when somebody asks.
function application({record}) {
    if (record.application.length === 0) return null;
    const said = document.documentElement.lang;
    const list = (findings) => el("ul", {}, findings.map((f) => el("li", {}, f.words[said] ?? f.words.en)));
    const findings = record.application.flatMap((one) => one.findings);
    const loud = findings.filter((f) => ["stop", "warn"].includes(f.severity));
    const quiet = findings.filter((f) => !["stop", "warn"].includes(f.severity));
    return panel(
        say("application"),
        "application",
        loud.length > 0 ? list(loud) : el("p", {}, say("application_clear")),
        record.application.map((one) => (one.overridden_by ? el("p", {}, say("overridden", {by: one.overridden_by, reason: one.override_reason})) : null)),
        quiet.length > 0 ? el("details", {}, el("summary", {}, say("application_more", {count: quiet.length})), list(quiet)) : null,
        el("p", {class: "small"}, say("application_note")),
    );
}

// The file goes out under its own name; the page stays.
export function certificates(list, zone, none = "no_certificate") {
    if (list.length === 0) return el("p", {}, say(none));
    const one = (c) =>
        el(
            "li",
            {},
            el("a", {class: "button", href: at("certificate", `${c.certificate}.pdf`), download: `${c.certificate}.pdf`, "data-test": `certificate-${c.certificate}`}, say("certificate", {number: c.certificate})),
            el("div", {class: "small"}, say("certificate_of", {date: time(c.time, zone), releaser: c.releaser})),
        );
    return el("ul", {class: "links"}, list.map(one));
}

function proving(shown) {
    const {serial} = shown.assembly;
    return panel(
        say("proving"),
        "proving",
        el("ol", {}, el("li", {}, say("proving.get")), el("li", {}, say("proving.key"), el("div", {class: "key", "data-test": "key"}, shown.key ?? "")), el("li", {}, say("proving.run"))),
        el("p", {}, say("proving.proves")),
        el("p", {}, say("proving.not")),
        el("a", {class: "button", href: at("evidence", serial), download: `${serial}-evidence.json`, "data-test": "evidence"}, say("proving.file")),
        el("a", {class: "button", href: at("events", serial), download: `${serial}-events.jsonld`, "data-test": "events"}, say("file.events")),
        el("a", {class: "button", href: at("results", serial), download: `${serial}.qif`, "data-test": "results"}, say("file.qif")),
    );
}

export function recordView(shown, links) {
    const {record} = shown;
    return [
        state(shown),
        record ? concessions(shown) : null,
        yours(shown),
        rating(shown),
        made(shown, links),
        record ? measured(shown) : null,
        record ? application(shown) : null,
        panel(say("certificates"), "certificates", certificates(shown.certificates, shown.zone, shown.by_tag ? "by_tag_no_certificate" : "no_certificate"), record || shown.certificates.length === 0 ? null : el("p", {class: "loud"}, say("certificate_before"))),
        record ? proving(shown) : null,
        el("button", {type: "button", on: {click: () => window.print()}}, say("print")),
    ].filter(Boolean);
}
