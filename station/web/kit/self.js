// What a person may change about themselves: language, sound on this screen, their own PIN or passphrase.

import {post} from "./api.js";
import {ask} from "./dialog.js";
import {roleName} from "./names.js";
import {soundHere, soundIsHere} from "./sounds.js";
import {language, languages, say} from "./words.js";

export async function aboutMyself({session, changeLanguage}) {
    const values = await ask({
        title: session.name,
        body: roleName(session.role),
        yes: say("page.self.keep"),
        fields: [
            {
                name: "language",
                label: say("page.self.language"),
                type: "choice",
                value: language(),
                options: languages.map((l) => ({value: l.language, text: l.name})),
            },
            {name: "sound", label: say("page.self.sound"), type: "check", value: soundIsHere()},
            {
                name: "kind",
                label: say("page.self.change"),
                type: "choice",
                value: "none",
                options: [
                    {value: "none", text: say("page.self.change_none")},
                    {value: "pin", text: say("page.self.change_pin")},
                    {value: "passphrase", text: say("page.self.change_passphrase")},
                ],
            },
            {name: "secret", label: say("page.self.secret"), type: "secret", hint: say("page.self.secret_hint")},
            {name: "again", label: say("page.self.secret_again"), type: "secret"},
        ],
        use: async ({kind, secret, again}) => {
            if (kind === "none" && secret === "") return {ok: true};
            if (kind === "none") return {ok: false, why: {code: "page.self.which", details: []}};
            if (secret !== again) return {ok: false, why: {code: "page.self.differ", details: []}};
            return post("/api/people/secret", {person: session.person, [kind]: secret});
        },
    });
    if (!values) return;
    soundHere(values.sound);
    if (values.language !== language()) await changeLanguage(values.language);
}
