// Four sounds that differ in rhythm as much as in pitch, for a loud shop and for ears that hear one pitch badly.
//
//   good()       one short high tone
//   bad()        three long low ones
//   uncertain()  two tones, up and down
//   refused()    two short low ones
//
// Off when the station says so (screen.sound) or the person switched them off on this screen: kept by the browser for
// that person alone, so that a colleague who takes over hears. Browsers give no sound before the first touch or key on
// the page; unlock() is called by the frame on that.

let context = null;
let station = true;
let here = true;
let who = "";

const place = () => `silent ${who}`;

export function soundByStation(on) {
    station = on !== false;
}

// Whoever is at the screen from now on.
export function soundFor(person) {
    who = person ?? "";
    try {
        here = localStorage.getItem(place()) === null;
    } catch {
        here = true; // a browser that keeps nothing
    }
}

export function soundHere(on) {
    here = on;
    try {
        if (on) localStorage.removeItem(place());
        else localStorage.setItem(place(), "yes");
    } catch {
        // then it holds until the page is loaded anew
    }
}

export const soundIsHere = () => here;

export function unlock() {
    const Kind = globalThis.AudioContext;
    if (!Kind) return;
    context ??= new Kind();
    if (context.state === "suspended") context.resume().catch(() => {});
}

// steps: [start s, length s, Hz, shape]
function play(steps) {
    if (!station || !here || !context || context.state !== "running") return false;
    const at = context.currentTime + 0.02;
    for (const [start, length, hertz, shape] of steps) {
        const tone = context.createOscillator();
        const loud = context.createGain();
        tone.type = shape;
        tone.frequency.value = hertz;
        loud.gain.setValueAtTime(0, at + start);
        loud.gain.linearRampToValueAtTime(0.5, at + start + 0.01); // no click
        loud.gain.setValueAtTime(0.5, at + start + length - 0.02);
        loud.gain.linearRampToValueAtTime(0, at + start + length);
        tone.connect(loud).connect(context.destination);
        tone.start(at + start);
        tone.stop(at + start + length + 0.05);
    }
    return true;
}

export const good = () => play([[0, 0.14, 1320, "sine"]]);

export const bad = () =>
    play([
        [0, 0.32, 196, "square"],
        [0.42, 0.32, 196, "square"],
        [0.84, 0.5, 165, "square"],
    ]);

export const uncertain = () =>
    play([
        [0, 0.2, 660, "triangle"],
        [0.24, 0.3, 440, "triangle"],
    ]);

export const refused = () =>
    play([
        [0, 0.09, 247, "square"],
        [0.15, 0.09, 247, "square"],
    ]);
