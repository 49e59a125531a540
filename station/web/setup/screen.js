// The operator's screen: keys for gloves are given in millimetres, so the station must know how large a pixel is. A bar
// that should be 100 mm is laid against a steel rule and pulled until it is. And the sounds, with a button to hear them.
import {post} from "../kit/api.js";
import {el, svg} from "../kit/dom.js";
import {bad, good, refused, soundByStation, soundIsHere, uncertain, unlock} from "../kit/sounds.js";
import {say} from "../kit/words.js";
import {makeForm} from "./form.js";
import {section, setupPage} from "./parts.js";

const LEAST = 50;
const MOST = 1000; // um a pixel; what the station takes
export const BAR_MM = 100;

// Pixels of the bar at so many micrometres a pixel.
export const barPixels = (um) => (BAR_MM * 1000) / um;

function ruler(um) {
    const mm = 1000 / um;
    const line = {stroke: "#1b2226", "stroke-width": 1};
    const ticks = Array.from({length: BAR_MM + 1}, (_, i) => {
        const x = (i * mm).toFixed(3);
        const height = i % 10 === 0 ? 34 : i % 5 === 0 ? 24 : 15;
        return svg("line", {x1: x, x2: x, y1: 0, y2: height, ...line});
    });
    const numbers = Array.from({length: 11}, (_, i) => svg("text", {x: (i * 10 * mm).toFixed(3), y: 52, "text-anchor": "middle", "font-size": 14}, String(i * 10)));
    const width = barPixels(um);
    return svg("svg", {class: "setup-ruler", width: (width + 1).toFixed(3), height: 60, viewBox: `-0.5 0 ${(width + 1).toFixed(3)} 60`, role: "img", "aria-label": say("page.setup.screen.bar"), "data-test": "ruler"}, ticks, numbers);
}

export function show(root, context) {
    const page = setupPage(root, context, {title: say("page.setup.screen.title"), lead: say("page.setup.screen.lead")});
    let um = context.bench()?.screen?.um_per_pixel ?? 265;
    let touched = false;
    const bar = el("div", {class: "setup-ruler-place scrolls", role: "group", tabindex: "0", aria: {label: say("page.setup.screen.bar")}});
    const told = el("output", {class: "number", data: {test: "um"}});
    const zoom = el("p", {class: "setup-note", hidden: true, data: {test: "zoom"}}, say("page.setup.screen.zoom"));

    function draw() {
        bar.replaceChildren(ruler(um));
        told.textContent = say("page.setup.screen.um", {um});
    }
    const step = (by) => {
        touched = true;
        um = Math.min(MOST, Math.max(LEAST, um + by));
        draw();
    };
    // Fewer micrometres a pixel make a longer bar.
    const button = (test, words, by) => el("button", {type: "button", class: "office", data: {test}, on: {click: () => step(by)}}, words);

    const sound = el("p", {role: "status", class: "hint", data: {test: "sound-told"}});
    const tone = (test, words, play) =>
        el(
            "button",
            {
                type: "button",
                class: "office",
                data: {test},
                on: {
                    click: async () => {
                        unlock();
                        await new Promise((resolve) => setTimeout(resolve, 60));
                        soundByStation(true); // to hear it, whatever is set
                        const played = play();
                        soundByStation(context.bench()?.screen?.sound);
                        sound.textContent = played ? say("page.setup.screen.played", {sound: words}) : soundIsHere() ? say("page.setup.screen.silent") : say("page.setup.screen.off_here");
                    },
                },
            },
            words,
        );

    const form = makeForm({
        test: "screen-form",
        go: say("page.setup.screen.set"),
        fields: [
            {
                node: el(
                    "div",
                    {class: "stack"},
                    el("h3", {}, say("page.setup.screen.size")),
                    el("ol", {class: "setup-how"}, el("li", {}, say("page.setup.screen.how_zoom")), el("li", {}, say("page.setup.screen.how_rule")), el("li", {}, say("page.setup.screen.how_pull"))),
                    zoom,
                    bar,
                    el(
                        "div",
                        {class: "row"},
                        button("much-shorter", say("page.setup.screen.much_shorter"), 10),
                        button("shorter", say("page.setup.screen.shorter"), 1),
                        told,
                        button("longer", say("page.setup.screen.longer"), -1),
                        button("much-longer", say("page.setup.screen.much_longer"), -10),
                    ),
                    el("h3", {}, say("page.setup.screen.sounds")),
                    el("p", {}, say("page.setup.screen.sounds_lead")),
                    el("div", {class: "row"}, tone("try-good", say("page.setup.screen.good"), good), tone("try-bad", say("page.setup.screen.bad"), bad), tone("try-uncertain", say("page.setup.screen.uncertain"), uncertain), tone("try-refused", say("page.setup.screen.refused"), refused)),
                    sound,
                ),
            },
            {name: "sound", type: "check", value: context.bench()?.screen?.sound !== false, label: say("page.setup.screen.sound_on"), hint: say("page.setup.screen.sound_hint"), wide: true},
        ],
        submit: async (v) => {
            const answer = await post("/api/screen", {um_per_pixel: um, sound: v.sound});
            if (!answer.ok) return answer;
            touched = false;
            page.receipt(answer, say("page.setup.screen.done", {um}));
            await context.refresh();
            return null;
        },
    });
    page.body.append(section(say("page.setup.screen.section"), "screen", form.node));
    form.input("sound").addEventListener("change", () => (touched = true));
    const zoomed = () => {
        // Chromium's zoom shows in the pixel ratio; a screen of twice the pixels has a whole one.
        zoom.hidden = Number.isInteger(globalThis.devicePixelRatio * 4);
    };
    addEventListener("resize", zoomed);
    zoomed();
    draw();
    return {
        update(bench) {
            if (touched || !bench?.screen || bench.screen.um_per_pixel === um) return;
            um = bench.screen.um_per_pixel;
            draw();
        },
        leave: () => removeEventListener("resize", zoomed),
    };
}
