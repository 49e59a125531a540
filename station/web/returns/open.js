// Opening a return: on a serial, or on an unknown hose with what can be read off it.
//
//   openForm(context, opened)    opened(answer) once the station has it

import {post} from "../kit/api.js";
import {el} from "../kit/dom.js";
import {say} from "../kit/words.js";
import {makeForm} from "../setup/form.js";

const readOff = {
    maker: "returned.read_off.maker",
    standard: "returned.read_off.standard",
    dash: "returned.read_off.dash",
    pressure: "returned.read_off.pressure",
    date_code: "returned.read_off.date_code",
    fitting: "returned.read_off.fitting",
    other: "returned.read_off.other",
};

export const readOffName = (what) => say(readOff[what] ?? readOff.other);

export function openForm(context, opened) {
    const form = makeForm({
        test: "open-return",
        go: say("page.returns.open_go"),
        fields: [
            {name: "serial", label: say("page.returns.serial"), hint: say("page.returns.serial_hint"), required: false, scan: true},
            {name: "customer", label: say("page.returns.sender"), required: false},
            {name: "received", label: say("page.returns.received"), hint: say("page.returns.received_hint"), type: "day", required: false},
            {name: "someone_hurt", label: say("page.returns.hurt"), hint: say("page.returns.hurt_hint"), type: "check"},
            {name: "reported", label: say("page.returns.reported"), type: "area", required: false, wide: true},
            {node: el("p", {class: "setup-note"}, say("page.returns.read_off"))},
            ...Object.keys(readOff).map((name) => ({name, label: readOffName(name), required: false, quiet: true})),
        ],
        where: (why) => ({"returned.no_serial": "serial", "returned.open_already": "serial", "returned.in_future": "received"})[why?.code] ?? null,
        submit: async (v) => {
            const body = {someone_hurt: v.someone_hurt};
            for (const name of ["serial", "customer", "received", "reported"]) if (v[name]) body[name] = v[name];
            const read_off = Object.keys(readOff).filter((name) => v[name]).map((what) => ({what, value: v[what]}));
            if (read_off.length > 0) body.read_off = read_off;
            const answer = await post("/api/returns", body);
            if (answer.ok) opened(answer);
            return answer;
        },
    });
    return form.node;
}
