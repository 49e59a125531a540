// Certificates of an assembly, of its order or of its delivery: what was issued, and a lead issues one.

import {post} from "../kit/api.js";
import {ask} from "../kit/dialog.js";
import {el} from "../kit/dom.js";
import {say, language} from "../kit/words.js";

// A delivery of some hundred assemblies takes its time.
const PATIENCE_MS = 120000;

const fileOf = (number, ending) => `/api/certificates/${encodeURIComponent(number)}.${ending}`;

// Asks for everything that a certificate needs to be told; the number of what was issued, or null.
export async function issue(assembly) {
    const a = assembly.assembly;
    const subjects = [
        {value: `serial:${a.serial}`, text: say("page.certificate.of_serial", {serial: a.serial})},
        {value: `order:${a.order}`, text: say("page.certificate.of_order", {order: a.order})},
    ];
    if (a.delivery) subjects.push({value: `delivery:${a.delivery}`, text: say("page.certificate.of_delivery", {delivery: a.delivery})});
    const ofDelivery = [
        {name: "with_link", label: say("page.certificate.with_link"), type: "check", hint: say("page.certificate.with_link_hint")},
        {name: "link_until", label: say("page.certificate.link_until"), type: "text", hint: say("page.certificate.link_until_hint")},
    ];
    const result = await ask({
        title: say("page.certificate.title"),
        body: say("page.certificate.body"),
        fields: [
            {name: "subject", label: say("page.certificate.subject"), type: "choice", options: subjects, value: subjects[0].value},
            {
                name: "statement",
                label: say("page.certificate.statement"),
                type: "choice",
                options: [
                    {value: "declaration", text: say("page.certificate.declaration")},
                    {value: "manner_2_2", text: say("page.certificate.manner_2_2")},
                    {value: "manner_3_1", text: say("page.certificate.manner_3_1")},
                ],
                value: "declaration",
                hint: say("page.certificate.statement_hint"),
            },
            {name: "function", label: say("page.certificate.function"), type: "text", required: true, hint: say("page.certificate.function_hint")},
            {name: "independent", label: say("page.certificate.independent"), type: "check", hint: say("page.certificate.independent_hint")},
            {name: "language", label: say("page.certificate.language"), type: "choice", options: [{value: "en", text: "English"}, {value: "de", text: "Deutsch"}], value: language() === "de" ? "de" : "en"},
            {name: "paper", label: say("page.certificate.paper"), type: "choice", options: [{value: "a4", text: "A4"}, {value: "letter", text: "Letter"}], value: "a4"},
            ...(a.delivery ? ofDelivery : []),
        ],
        yes: say("page.certificate.issue"),
        use: ({link_until: until, ...values}) => {
            const at = values.subject.indexOf(":");
            const body = {...values, subject: values.subject.slice(0, at), id: values.subject.slice(at + 1)};
            if (until) body.link_until = until;
            return post("/api/certificates", body, PATIENCE_MS);
        },
    });
    return result ? result.answer.body.certificate : null;
}

// What was issued for it, newest first, as files.
export function issued(certificates) {
    if (!certificates || certificates.length === 0) return null;
    return el(
        "section",
        {class: "holds-certificates", data: {test: "certificates"}},
        el("h2", {}, say("page.certificate.issued")),
        el(
            "ul",
            {},
            certificates.map((c) =>
                el(
                    "li",
                    {data: {test: `certificate-${c.certificate}`}},
                    el("b", {}, c.certificate),
                    ` ${say("page.certificate.by", {subject: c.subject_id, releaser: c.releaser, function: c.function})} `,
                    el("a", {href: fileOf(c.certificate, "pdf"), download: `${c.certificate}.pdf`, data: {test: "certificate-pdf"}}, say("page.certificate.pdf")),
                    " \u00b7 ",
                    el("a", {href: fileOf(c.certificate, "json"), download: `${c.certificate}.json`, data: {test: "certificate-json"}}, say("page.certificate.json")),
                    c.link ? ` \u00b7 ${say("page.certificate.with", {link: c.link})}` : "",
                ),
            ),
        ),
    );
}
