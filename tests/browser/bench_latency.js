// Measures, asserts nothing: from the caliper's last byte to the changed number on the page.
//
//   node tests/browser/bench_latency.js [PRESSES]
//
// A caliper of this script's own on a TCP port, as a serial-over-Ethernet converter has it, writes whole frames; the time
// is taken right after the write of a frame returns, on this machine's clock. The page's MutationObserver takes the time at which the number's text has changed,
// on the same machine's clock (performance.timeOrigin + performance.now()). The two clocks are compared before and after.
import net from "node:net";

import {openBench} from "./bench_kit.js";
import {profile} from "./kit/places.js";

const presses = Number(process.argv[2] ?? 60);

const clock = () => performance.timeOrigin + performance.now();

// The difference of the page's clock to ours: the middle of the fastest of 20 rounds.
async function offset(page) {
    let best = {trip: Infinity, off: 0};
    for (let i = 0; i < 20; i += 1) {
        const a = clock();
        const there = await page.evaluate(() => performance.timeOrigin + performance.now());
        const b = clock();
        if (b - a < best.trip) best = {trip: b - a, off: there - (a + b) / 2};
    }
    return best;
}

function share(sorted, p) {
    return sorted[Math.min(sorted.length - 1, Math.ceil(p * sorted.length) - 1)];
}


// As drivers/profiles/signed_decimal_unit.toml has it: "+025.48mm" and a line end.
const frame = (mm) => `+${Number(mm).toFixed(2).padStart(6, "0")}mm\r\n`;

let socket = null;
const server = net.createServer((s) => {
    s.setNoDelay(true);
    s.on("error", () => {});
    socket = s;
});
await new Promise((resolve) => server.listen(0, "127.0.0.1", resolve));
const gauge = `[[gauge]]\nid = "caliper-1"\nport = "tcp://127.0.0.1:${server.address().port}"\nprofile = "${profile}"`;

const bench = await openBench({
    to: "setup",
    gauges: [],
    toml: {more: gauge},
    say: async (mm) => {
        while (!socket) await new Promise((resolve) => setTimeout(resolve, 20));
        socket.write(frame(mm));
    },
    prepare: async (setter) =>
        setter.post("/api/gauges", {
            gauge: "caliper-1",
            resolution_nm: 10000,
            uncertainty_nm: 12000,
            proof_limit_nm: 20000,
            calibrated: "2026-06-01",
            calibration_due: "2099-05-31",
            certificate: "CAL-0417 (invented)",
        }),
});

// Set-up pieces that never sit well: as many presses as wanted, each a reading that is judged, kept and shown.
await bench.page.evaluate(() => {
    globalThis.changes = [];
    let before = "";
    new MutationObserver(() => {
        const now = document.querySelector('[data-test="said-value"]')?.textContent ?? "";
        if (now === before) return;
        before = now;
        globalThis.changes.push({text: now, at: performance.timeOrigin + performance.now()});
    }).observe(document.querySelector(".bench"), {subtree: true, childList: true, characterData: true});
});

const before = await offset(bench.page);
const times = [];
for (let i = 0; i < presses; i += 1) {
    const value = (25.61 + (i % 9) / 100).toFixed(2);
    await new Promise((resolve) => setTimeout(resolve, 450 + Math.random() * 120)); // the caliper's own pause, and no beat
    socket.write(frame(value));
    const sent = clock();
    const seen = await bench.page.waitForFunction(
        (text) => globalThis.changes.find((c) => c.text.startsWith(text) && !c.used && ((c.used = true), true))?.at,
        value,
        {polling: 5},
    );
    times.push((await seen.jsonValue()) - sent - before.off);
}
const later = await offset(bench.page);
times.sort((a, b) => a - b);
const ms = (v) => `${v.toFixed(1)} ms`;
console.log(`presses            ${times.length}`);
console.log(`median             ${ms(share(times, 0.5))}`);
console.log(`99th percentile    ${ms(share(times, 0.99))}`);
console.log(`fastest, slowest   ${ms(times[0])}, ${ms(times.at(-1))}`);
console.log(`clocks             apart by ${ms(before.off)} before and ${ms(later.off)} after, each to within ${ms(before.trip / 2)}`);
socket.destroy();
server.close();
await bench.close();
