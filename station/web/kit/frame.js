// The frame round every page. On the right a rail, under the hand that does not hold the caliper: where one is, who one
// is, whether the gauges may measure, whether this picture is live. At the bottom the caution, always.
//
//   const frame = makeFrame(root, {signOut, hide, self})
//   frame.main, frame.place        the landmark; what in it pages draw into
//   frame.draw({session, bench, where, alive, expected, covered, locked})
//   frame.tell(why | null)         a refusal, said in words and kept until the next thing succeeds or it is closed
//   frame.speak(text), frame.alarm(text), frame.hush()

import {el, redraw, svg} from "./dom.js";
import {roleName, timeText} from "./names.js";
import {places, placesOf, setups, setupsOf} from "./places.js";
import {sign} from "./signs.js";
import {language, say, sayMessage} from "./words.js";

// Our own drawing: a triangle with an exclamation mark, beside the signal word.
export function alertSign() {
    return svg(
        "svg",
        {class: "alert-sign", viewBox: "0 0 24 22", "aria-hidden": "true"},
        svg("path", {d: "M12 1L23.3 21H.7z", fill: "#000"}),
        svg("path", {d: "M12 7.5v6.5", stroke: "#FF7900", "stroke-width": 2.6}),
        svg("circle", {cx: 12, cy: 17.3, r: 1.5, fill: "#FF7900"}),
    );
}

function gaugeLine(gauge, bench) {
    let kind = "conforms";
    let words = "";
    if (!gauge.connected) {
        kind = "off";
        words = say("page.frame.gauge_gone");
    } else if (!gauge.ready) {
        const over = gauge.why?.code === "bench.calibration_over";
        kind = over ? "over" : "uncertain"; // to be proved is part of every morning; out of calibration is not
        words = say(over ? "page.frame.gauge_calibration" : "page.frame.gauge_unproved");
    } else if (gauge.proved_until_utc_ms > 0)
        words = say("page.frame.gauge_until", {time: timeText(gauge.proved_until_utc_ms, bench.time_zone, language())});
    else words = say("page.frame.gauge_ready");
    return el(
        "li",
        {class: `rail-gauge ${kind}`, title: gauge.why ? sayMessage(gauge.why) : null, data: {test: `gauge-${gauge.gauge}`}},
        sign(kind === "over" ? "fails" : kind),
        el("span", {}, el("b", {}, gauge.gauge), " ", el("span", {}, words)),
    );
}

export function makeFrame(root, {signOut, hide, self}) {
    const rail = el("header", {class: "rail"});
    const place = el("div", {class: "place", id: "place"});
    const main = el("main", {id: "page", tabindex: "-1"}, place);
    const lost = el("div", {class: "lost", role: "alert", hidden: true, data: {test: "lost"}});
    const refusal = el("div", {class: "told", role: "alert", hidden: true, data: {test: "told"}});
    const tabs = el("nav", {class: "tabs", hidden: true});
    const caution = el("aside", {class: "caution", data: {test: "caution"}});
    main.append(lost, refusal);
    root.replaceChildren(rail, tabs, main, caution);

    function tell(why) {
        refusal.hidden = !why;
        redraw(
            refusal,
            why && [
                el("p", {}, sayMessage(why)),
                el("button", {class: "office", data: {test: "told-close"}, on: {click: () => tell(null)}}, say("page.frame.close")),
            ],
        );
    }

    function drawRail({session, bench, where, alive, expected, locked}) {
        const who =
            session && !locked
                ? el(
                      "div",
                      {class: "rail-who"},
                      el(
                          "button",
                          {class: "rail-person", data: {test: "self"}, on: {click: self}},
                          el("b", {}, session.name, " "),
                          el("span", {}, roleName(session.role)),
                          el("span", {class: "unseen"}, say("page.frame.self")),
                      ),
                      el("button", {class: "rail-out", data: {test: "sign-out"}, on: {click: signOut}}, say("page.frame.sign_out")),
                      session.role === "operator"
                          ? null
                          : el("button", {class: "rail-out", data: {test: "hide"}, on: {click: hide}}, say("page.frame.hide")),
                  )
                : null;
        const link = (name) =>
            el(
                "li",
                {},
                el(
                    "a",
                    {
                        class: "rail-place",
                        href: `#/${name}`,
                        aria: {current: where?.place === name ? "page" : null},
                        data: {test: `place-${name}`},
                    },
                    say(places[name].name),
                    name === "holds" && bench?.holds_open > 0
                        ? el(
                              "span",
                              {class: "rail-count", data: {test: "holds-open"}},
                              String(bench.holds_open),
                              el("span", {class: "unseen"}, say("page.frame.holds_open")),
                          )
                        : null,
                ),
            );
        const nav =
            session && !locked
                ? el("nav", {aria: {label: say("page.frame.places")}}, el("ul", {class: "rail-places"}, placesOf(session.role).map(link)))
                : null;
        const gauges = bench?.gauges ?? [];
        redraw(
            rail,
            el("div", {class: "rail-station"}, el("b", {}, bench?.station ?? "crimpgate"), bench?.shop ? el("span", {}, bench.shop) : null),
            who,
            nav,
            el(
                "div",
                {class: "rail-state"},
                gauges.length > 0
                    ? el("ul", {class: "rail-gauges", aria: {label: say("page.frame.gauges")}}, gauges.map((g) => gaugeLine(g, bench)))
                    : null,
                bench ? el("p", {class: "rail-shift", data: {test: "shift"}}, bench.shift ? say("page.frame.shift_on") : say("page.frame.shift_off")) : null,
                expected &&
                    el(
                        "p",
                        {class: alive ? "rail-live" : "rail-live off", data: {test: "live", live: alive ? "yes" : "no"}},
                        sign(alive ? "on" : "off"),
                        say(alive ? "page.frame.live" : "page.frame.not_live"),
                    ),
            ),
        );
    }

    function drawTabs({session, where, covered}) {
        const list = session && where?.place === "setup" && !covered ? setupsOf(session.role) : [];
        tabs.hidden = list.length === 0;
        if (tabs.hidden) return;
        tabs.setAttribute("aria-label", say("page.place.setup"));
        redraw(
            tabs,
            list.map((name) =>
                el("a", {href: `#/setup/${name}`, aria: {current: where.part === name ? "page" : null}, data: {test: `setup-${name}`}}, say(setups[name].name)),
            ),
        );
    }

    let cautionIn = "";
    function drawCaution() {
        if (cautionIn === language()) return;
        cautionIn = language();
        caution.setAttribute("aria-label", say("page.caution.signal"));
        caution.replaceChildren(
            el("strong", {class: "caution-signal"}, alertSign(), say("page.caution.signal")),
            el("p", {}, el("b", {}, say("page.caution.hazard")), " ", say("page.caution.avoid")),
        );
    }

    const spoken = document.getElementById("spoken");
    const alarmed = document.getElementById("alarm");
    // The same words twice in a row are spoken twice: an element that is emptied first has changed.
    const coming = new Set();
    function into(node, text) {
        node.textContent = "";
        const later = setTimeout(() => {
            coming.delete(later);
            node.textContent = text;
        }, 30);
        coming.add(later);
    }
    // What was said to whoever was here does not stand there for the next one.
    function hush() {
        for (const later of coming) clearTimeout(later);
        coming.clear();
        spoken.textContent = alarmed.textContent = "";
    }

    return {
        main,
        place,
        tell,
        speak: (text) => into(spoken, text),
        alarm: (text) => into(alarmed, text),
        hush,
        draw(state) {
            drawRail(state);
            drawTabs(state);
            drawCaution();
            const old = !state.alive && !state.covered && state.where && places[state.where.place].live;
            document.body.dataset.live = state.alive ? "yes" : "no";
            place.inert = Boolean(old);
            if (lost.hidden === Boolean(old)) {
                lost.hidden = !old;
                redraw(lost, old && [el("h1", {class: "sentence"}, say("page.frame.lost")), el("p", {}, say("page.frame.lost_do"))]);
            }
        },
    };
}
