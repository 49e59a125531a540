// Where things are: the sources, the built programs, what npm brought, and the folder for pictures.
import fs from "node:fs";
import {createRequire} from "node:module";
import path from "node:path";
import {fileURLToPath} from "node:url";

export const root = path.resolve(path.dirname(fileURLToPath(import.meta.url)), "../../..");
export const build = path.resolve(root, process.env.CRIMPGATE_BUILD ?? "build");
export const shots = path.join(root, "build/browser/shots");
const modules = path.join(root, "build/browser/node_modules");

const bring = createRequire(path.join(root, "build/browser/package.json"));
export const {chromium} = bring("playwright-core");
export const axeSource = fs.readFileSync(path.join(modules, "axe-core/axe.min.js"), "utf8");

export const programs = {
    daemon: path.join(build, "station/crimpgated"),
    caliper: path.join(build, "tools/crimpgate-caliper"),
    chromium: process.env.CRIMPGATE_CHROMIUM ?? "/usr/bin/chromium",
};
export const profile = path.join(root, "drivers/profiles/signed_decimal_unit.toml");
export const example = (name) => fs.readFileSync(path.join(root, "specs/examples", name), "utf8");
