// A real station for a test: the built daemon with a folder of its own, and a simulated caliper on a pseudo-terminal.
//
//   const station = await startStation({toml: {bench: "proof_interval_min = 60"}, gauges: ["caliper-1"], env: {}})
//   station.url, station.folder, station.code      where it listens; the one-time code for the first person
//   station.caliper.send("press 25.48 mm")          as at the keyboard of crimpgate-caliper; resolves when it was sent
//   station.log()                                   everything the daemon said
//   await station.stop() / kill() / start()         cleanly, at once, again on the same journal and port
//   await station.end()                             all of it, the folder too
//
// CRIMPGATE_PAGES=FOLDER serves the pages from there instead of those built in.
import {spawn} from "node:child_process";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";

import {programs, profile} from "./places.js";

const PATIENCE_MS = 30000; // a busy machine

// A child of ours with its lines kept; gone when the test's process goes.
function child(program, args, name, env = {}) {
    if (!fs.existsSync(program)) throw new Error(`${program} is not there: build it, or name the build folder in CRIMPGATE_BUILD`);
    const p = spawn(program, args, {stdio: ["pipe", "pipe", "pipe"], env: {...process.env, ...env}});
    const lines = [];
    const waiting = [];
    let rest = "";
    const read = (chunk) => {
        rest += chunk;
        const parts = rest.split("\n");
        rest = parts.pop();
        for (const line of parts) {
            lines.push(line);
            for (const w of [...waiting]) w.look();
        }
    };
    p.stdout.setEncoding("utf8").on("data", read);
    p.stderr.setEncoding("utf8").on("data", (chunk) => {
        for (const line of chunk.split("\n")) if (line) lines.push(line);
        for (const w of [...waiting]) w.look();
    });
    p.stdin.on("error", () => {}); // it went before it read: `gone` tells
    const gone = new Promise((resolve) => p.on("exit", (code, signal) => resolve({code, signal})));
    const end = () => p.kill("SIGKILL");
    process.on("exit", end);
    gone.then(() => process.off("exit", end));
    return {
        lines,
        gone,
        pid: p.pid,
        write: (text) => p.stdin.write(text),
        kill: (signal) => p.kill(signal),
        // The first line from `from` on that matches.
        line(pattern, from = 0) {
            return new Promise((resolve, reject) => {
                const w = {
                    look() {
                        const found = lines.slice(from).find((l) => pattern.test(l));
                        if (found === undefined) return;
                        done();
                        resolve(found);
                    },
                };
                const timer = setTimeout(() => fail("in time"), PATIENCE_MS);
                function done() {
                    clearTimeout(timer);
                    waiting.splice(waiting.indexOf(w), 1);
                }
                function fail(why) {
                    if (!waiting.includes(w)) return;
                    done();
                    reject(new Error(`${name} did not say ${pattern} (${why}):\n${lines.slice(-20).join("\n")}`));
                }
                waiting.push(w);
                gone.then(({code, signal}) => fail(`it ended: ${code ?? signal}`));
                w.look();
            });
        },
    };
}

async function startCaliper(folder, id) {
    const link = path.join(folder, id);
    const p = child(programs.caliper, ["--profile", profile, "--link", link], id);
    const begun = Date.now();
    while (!fs.existsSync(link)) {
        if (Date.now() - begun > PATIENCE_MS) throw new Error(`${id} made no line: ${p.lines.join("\n")}`);
        await new Promise((resolve) => setTimeout(resolve, 20));
    }
    return {
        link,
        lines: p.lines,
        // Resolves when the caliper has repeated the command, which it does when it begins to carry it out.
        async send(command) {
            const from = p.lines.length;
            p.write(`${command}\n`);
            const start = command.split(" ")[0];
            await p.line(new RegExp(`^${start}\\b`), from);
        },
        async end() {
            p.kill("SIGTERM");
            await p.gone;
        },
    };
}

// toml and env are read at each start: a test may change them between two.
export async function startStation({toml = {}, gauges = ["caliper-1"], env = {}} = {}) {
    const folder = fs.mkdtempSync(path.join(os.tmpdir(), "crimpgate-browser-"));
    const calipers = {};
    for (const id of gauges) calipers[id] = await startCaliper(folder, id);
    const config = path.join(folder, "station.toml");
    let port = 0;
    const write = () =>
        fs.writeFileSync(
            config,
            [
                "[station]",
                'id = "bench-1"',
                'shop = "Corvane Hose Works"',
                'time_zone = "Europe/Vienna"',
                'serial_prefix = "K1"',
                toml.station ?? "",
                "[journal]",
                `file = "${folder}/journal.sqlite"`,
                "[bench]",
                toml.bench ?? "",
                "[http]",
                `port = ${port}`,
                toml.http ?? "",
                "[tag]",
                `folder = "${folder}/tags"`,
                toml.tag ?? "",
                ...gauges.flatMap((id) => ["[[gauge]]", `id = "${id}"`, `port = "${calipers[id].link}"`, `profile = "${profile}"`]),
                toml.more ?? "",
                "",
            ].join("\n"),
        );
    fs.mkdirSync(path.join(folder, "tags"));

    let daemon = null;
    const station = {
        folder,
        url: "",
        code: "",
        calipers,
        caliper: calipers[gauges[0]],
        log: () => daemon?.lines.join("\n") ?? "",
        async start() {
            write();
            const pages = process.env.CRIMPGATE_PAGES;
            const args = ["--config", config, ...(pages ? ["--pages", pages] : [])];
            daemon = child(programs.daemon, args, "crimpgated", env);
            const said = await daemon.line(/listens at http/);
            station.url = /https?:\/\/[^\s/]+/.exec(said)[0].replace("127.0.0.1", "localhost");
            port = Number(new URL(station.url).port);
            // Printed for the first person only, before anybody is known.
            const code = daemon.lines.map((l) => /one-time code .* is (\S+)/.exec(l)).find(Boolean);
            station.code = code ? code[1] : "";
            return station;
        },
        async stop() {
            daemon.kill("SIGTERM");
            await daemon.gone;
        },
        async kill() {
            daemon.kill("SIGKILL");
            await daemon.gone;
        },
        // The daemon holds still, as a machine that hangs does; and goes on.
        freeze: () => daemon.kill("SIGSTOP"),
        thaw: () => daemon.kill("SIGCONT"),
        async end() {
            daemon.kill("SIGCONT");
            await station.stop();
            for (const c of Object.values(calipers)) await c.end();
            fs.rmSync(folder, {recursive: true, force: true});
        },
    };
    try {
        return await station.start();
    } catch (error) {
        for (const c of Object.values(calipers)) await c.end();
        throw error;
    }
}
