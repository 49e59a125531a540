// The station's clock as it goes, to be compared with another one. What a browser's own clock says is not asked: the
// station told its time with GET /api/bench, and is asked again every few seconds, since somebody may be setting it.
//
//   stationClock(context)    a node that goes as long as it stands on the page

import {el} from "../kit/dom.js";
import {language, say} from "../kit/words.js";

const ASK_EVERY_S = 3;
const seen = new WeakMap(); // when a bench was first seen here, ms of the page

function now(bench) {
    if (!seen.has(bench)) seen.set(bench, performance.now());
    return new Date(bench.now_utc_ms + performance.now() - seen.get(bench));
}

export function stationClock(context) {
    const time = el("span", {class: "figure number", data: {test: "station-time"}});
    const day = el("span", {class: "station-day", data: {test: "station-day"}});
    const node = el("p", {class: "station-clock"}, el("span", {class: "station-clock-name"}, say("page.bench.station_clock")), time, day);
    let stood = false;
    let seconds = 0;

    function draw() {
        const bench = context.bench();
        if (!bench?.now_utc_ms) return;
        const where = language() === "de" ? "de-DE" : "en-GB";
        const timeZone = bench.time_zone || "UTC";
        const at = now(bench);
        time.textContent = new Intl.DateTimeFormat(where, {hour: "2-digit", minute: "2-digit", second: "2-digit", hourCycle: "h23", timeZone}).format(at);
        day.textContent = new Intl.DateTimeFormat(where, {weekday: "long", day: "numeric", month: "long", year: "numeric", timeZone}).format(at);
    }

    draw();
    const going = setInterval(() => {
        if (node.isConnected) stood = true;
        else if (stood || seconds > 1) return clearInterval(going);
        seconds += 1;
        if (seconds % ASK_EVERY_S === 0) context.refresh();
        return draw();
    }, 1000);
    return node;
}
