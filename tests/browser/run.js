// Runs the tests of the pages, file by file, and ends with "N passed, N failed".
//
//   node tests/browser/run.js              all
//   node tests/browser/run.js sign_in      those files
//
// Two files at a time: each has a station, a folder and a browser of its own, and waits more than it works.
//
// CRIMPGATE_BUILD names the build folder (build); CRIMPGATE_PAGES serves pages from a folder instead of those built in;
// CRIMPGATE_WIDTH says how many files at a time.
import {spawn} from "node:child_process";
import fs from "node:fs";
import path from "node:path";
import {fileURLToPath} from "node:url";

const here = path.dirname(fileURLToPath(import.meta.url));
const only = process.argv.slice(2);
const files = fs
    .readdirSync(here)
    .filter((f) => f.endsWith("_test.js"))
    .filter((f) => only.length === 0 || only.some((o) => f === `${o}_test.js` || f === o))
    .sort();
const LONGEST_MS = 600000; // one file; a browser that hangs must not hang everything

const WIDTH = Math.max(1, Number(process.env.CRIMPGATE_WIDTH) || 2);

// Each in a process group of its own, so that what a hanging test started goes with it.
const running = new Set();
for (const [signal, status] of [["SIGINT", 130], ["SIGTERM", 143]])
    process.on(signal, () => {
        for (const end of running) end();
        process.exit(status);
    });

function run(file) {
    return new Promise((resolve) => {
        const child = spawn(process.execPath, ["--test", "--test-reporter=tap", file], {detached: true, stdio: ["ignore", "pipe", "pipe"]});
        const said = {stdout: "", stderr: ""};
        for (const stream of ["stdout", "stderr"]) child[stream].setEncoding("utf8").on("data", (text) => (said[stream] += text));
        const end = () => process.kill(-child.pid, "SIGKILL");
        const timer = setTimeout(end, LONGEST_MS);
        running.add(end);
        child.on("close", (status) => {
            clearTimeout(timer);
            running.delete(end);
            resolve({...said, status});
        });
    });
}

let passed = 0;
let failed = 0;
async function tell(file) {
    const begun = Date.now();
    const ran = await run(path.join(here, file));
    const count = (what) => Number(new RegExp(`^# ${what} (\\d+)`, "m").exec(ran.stdout ?? "")?.[1] ?? 0);
    const good = count("pass");
    let bad = count("fail") + count("cancelled");
    // A crash or a time-out leaves no failed test behind, but a status; a file without any test is none.
    if (bad === 0 && (ran.status !== 0 || good === 0)) bad = 1;
    passed += good;
    failed += bad;
    const seconds = ((Date.now() - begun) / 1000).toFixed(1);
    process.stdout.write(`${file}: ${good} passed, ${bad} failed (${seconds} s)\n`);
    if (bad > 0) process.stdout.write(`${ran.stdout}\n${ran.stderr}\n`);
}

const waiting = [...files];
async function line() {
    while (waiting.length > 0) await tell(waiting.shift());
}
await Promise.all(Array.from({length: WIDTH}, line));
if (files.length === 0) failed += 1;
process.stdout.write(`${passed} passed, ${failed} failed\n`);
process.exit(failed === 0 ? 0 : 1);
