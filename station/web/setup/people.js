// People. Somebody is new, has lost a badge, forgot a PIN, stands locked out before the bench, or has left. Whoever comes
// here has one of these in hand and the person often beside them; so the one who cannot get in stands on top, the list
// is by name, and each action says what it brings about before it is done.
//
// Changing people is a setter's. Leads and auditors see who may do what. Nobody is ever deleted: the record names them.

import {get, post} from "../kit/api.js";
import {el, redraw} from "../kit/dom.js";
import {roleName} from "../kit/names.js";
import {languages, say} from "../kit/words.js";
import {listTable, loader, note, section, setupPage, trouble, yesNo} from "./parts.js";
import {giveBadge, giveRole, giveSecret, retire} from "./person_changes.js";
import {personForm} from "./person_form.js";

const languageName = (code) => languages.find((l) => l.language === code)?.name ?? code ?? "";

export function show(root, context) {
    const page = setupPage(root, context, {title: say("page.setup.people.title"), lead: say("page.setup.people.lead")});
    const sets = page.may("setter");
    let people = [];
    let open = ""; // whose row shows its actions

    const locked = el("div");
    const list = el("div");
    const gone = el("div");
    const adding = el("div", {hidden: true});
    const load = loader(() => get("/api/people"), draw);

    const add = el(
        "button",
        {
            type: "button",
            class: "main office",
            data: {test: "add-person"},
            on: {
                click: () => {
                    adding.hidden = false;
                    add.hidden = true;
                    form.focus();
                },
            },
        },
        say("page.setup.people.add"),
    );
    const form = personForm({
        cancel: () => {
            adding.hidden = true;
            add.hidden = false;
            add.focus();
        },
        submit: async (body) => {
            const answer = await post("/api/people", body);
            if (answer.ok) {
                adding.hidden = true;
                add.hidden = false;
                await done(answer, say("page.setup.people.added", {name: body.name, role: roleName(body.role)}));
            }
            return answer;
        },
    });
    adding.append(section(say("page.setup.people.add_title"), "person-new", form.node));

    async function done(answer, words) {
        if (!answer) return;
        page.receipt(answer, words);
        await Promise.all([load(), context.refresh()]);
    }

    function actions(p) {
        const act = (test, words, fn, main = false) =>
            el("button", {type: "button", class: main ? "main office" : "office", data: {test}, on: {click: async () => done(...((await fn(p)) ?? []))}}, words);
        return el(
            "div",
            {class: "setup-actions", data: {test: `actions-${p.person}`}},
            act("give-badge", say("page.setup.people.badge_new"), giveBadge),
            act("give-role", say("page.setup.people.role_new"), giveRole),
            act("give-pin", say("page.setup.people.pin_new"), (who) => giveSecret(who, "pin")),
            act("give-passphrase", say("page.setup.people.passphrase_new"), (who) => giveSecret(who, "passphrase")),
            act("retire", say("page.setup.people.retire"), retire),
        );
    }

    function draw(body, why) {
        if (why) {
            redraw(list, trouble(why, load));
            return;
        }
        people = body.people;
        const byName = [...people].sort((a, b) => a.name.localeCompare(b.name));
        const here = byName.filter((p) => !p.retired);
        const out = here.filter((p) => p.locked);
        redraw(
            locked,
            out.map((p) =>
                el(
                    "div",
                    {class: "setup-locked", role: "group", aria: {label: p.name}, data: {test: `locked-${p.person}`}},
                    el("p", {}, say("page.setup.people.locked", {name: p.name})),
                    sets
                        ? el(
                              "div",
                              {class: "row"},
                              el("button", {type: "button", class: "office", data: {test: "let-in-pin"}, on: {click: async () => done(...((await giveSecret(p, "pin")) ?? []))}}, say("page.setup.people.pin_new")),
                              el("button", {type: "button", class: "office", data: {test: "let-in-passphrase"}, on: {click: async () => done(...((await giveSecret(p, "passphrase")) ?? []))}}, say("page.setup.people.passphrase_new")),
                          )
                        : el("p", {}, say("page.setup.people.locked_setter")),
                ),
            ),
        );
        redraw(
            list,
            listTable({
                caption: say("page.setup.people.here"),
                test: "people",
                rowTest: (p) => `person-${p.person}`,
                rows: here,
                empty: say("page.setup.people.none"),
                columns: [
                    {head: say("page.setup.people.name"), rowhead: true, cell: (p) => [p.name, p.locked ? el("span", {class: "setup-tag"}, say("page.setup.people.locked_tag")) : null]},
                    {head: say("page.setup.people.person"), cell: (p) => p.person},
                    {head: say("page.setup.people.role"), cell: (p) => roleName(p.role)},
                    {head: say("page.setup.people.badge"), cell: (p) => p.badge || p.person},
                    {head: say("page.setup.people.pin"), cell: (p) => yesNo(p.pin)},
                    {head: say("page.setup.people.passphrase"), cell: (p) => yesNo(p.passphrase)},
                    {head: say("page.setup.people.language"), cell: (p) => languageName(p.language)},
                    ...(sets
                        ? [
                              {
                                  head: el("span", {class: "unseen"}, say("page.setup.people.change")),
                                  cell: (p) =>
                                      el(
                                          "button",
                                          {
                                              type: "button",
                                              class: "office",
                                              aria: {expanded: String(open === p.person), label: say("page.setup.people.change_of", {name: p.name})},
                                              data: {test: `change-${p.person}`},
                                              on: {
                                                  click: () => {
                                                      open = open === p.person ? "" : p.person;
                                                      draw({people});
                                                  },
                                              },
                                          },
                                          say("page.setup.people.change"),
                                      ),
                              },
                          ]
                        : []),
                ],
                more: (p) => (sets && open === p.person ? actions(p) : null),
            }),
        );
        const retired = byName.filter((p) => p.retired);
        redraw(
            gone,
            listTable({
                caption: say("page.setup.people.retired"),
                test: "retired",
                rowTest: (p) => `retired-${p.person}`,
                rows: retired,
                empty: say("page.setup.people.retired_none"),
                columns: [
                    {head: say("page.setup.people.name"), rowhead: true, cell: (p) => p.name},
                    {head: say("page.setup.people.person"), cell: (p) => p.person},
                    {head: say("page.setup.people.role"), cell: (p) => roleName(p.role)},
                ],
            }),
        );
    }

    page.body.append(
        locked,
        sets ? el("div", {class: "setup-first-action"}, add, adding) : note(say("page.setup.people.setter_only"), "setter-only"),
        section(say("page.setup.people.here"), "people-here", list),
        section(say("page.setup.people.retired"), "people-retired", el("p", {class: "hint"}, say("page.setup.people.retired_hint")), gone),
    );
    load();

    return {
        update() {},
        entry(entry) {
            if (["person.role_given", "person.badge_given", "person.retired", "person.language_chosen", "person.sign_in_refused"].includes(entry.type)) load();
        },
        leave() {
            load.stop();
            form.leave();
        },
    };
}
