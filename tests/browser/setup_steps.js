// What the tests of the set-up pages have in common.
import {axe, hook, scan, shots} from "./kit/browser.js";

// To a part of the set-up, drawn with what the station has.
export async function to(page, part) {
    await page.evaluate((hash) => (location.hash = hash), `#/setup/${part}`);
    await page.waitForFunction((key) => document.querySelector(".page")?.dataset.page === key, `setup/${part}`);
    await page.locator(".setup h1").waitFor();
}

export async function into(page, name) {
    await hook(page, name).evaluate((node) => node.scrollIntoView({block: "start"}));
}

// A state as the accessibility checker and a person see it.
export async function state(page, name, at) {
    if (at) await into(page, at);
    await axe(page, name);
    await targets(page, name);
    await shots(page, name);
}

// Whatever a mouse or a finger hits at a desk is 44 px high or more; links in running text and native option boxes of a
// file's cells excepted (WCAG 2.2, 2.5.8, asks for 24).
export async function targets(page, name) {
    const small = await page.evaluate(() =>
        [...document.querySelectorAll("#place button, #place select, #place input:not([type=checkbox]):not([type=file]), #place textarea, #place summary")]
            .map((node) => ({node, box: node.getBoundingClientRect()}))
            .filter(({box}) => box.width > 0 && box.height < 43.9)
            .map(({node, box}) => `${node.outerHTML.slice(0, 120)}: ${box.height}`),
    );
    if (small.length > 0) throw new Error(`${name}: too small to hit\n${small.join("\n")}`);
}

export const text = (page, name) => hook(page, name).innerText();

// The number under which the journal has what was just done; the last one, where one thing brought another with it.
export async function receipt(page) {
    await hook(page, "receipt-number").waitFor();
    return Number((await text(page, "receipt-number")).match(/\d+/g).at(-1));
}

// As the spreadsheet's file arrives in the browser.
export const upload = (page, name, file, bytes) => hook(page, name).setInputFiles({name: file, mimeType: "text/csv", buffer: Buffer.from(bytes)});

// What the journal has under that number; withheld entries (with secrets) have only number and type.
export async function entry(as, seq) {
    const {body} = await as.get(`/api/entries?from=${seq}&limit=1`);
    return body.entries[0];
}

// Signing in at a desk: where a colleague works at the bench, without taking it over.
export async function atDesk(page, who) {
    await hook(page, "who").waitFor();
    await scan(page, who.badge);
    if ((await hook(page, "secret-other").innerText()).includes("PIN")) await hook(page, "secret-other").click();
    for (const digit of who.pin) await hook(page, `key-${digit}`).click();
    const aside = hook(page, "go-aside");
    await ((await aside.isVisible()) ? aside : hook(page, "go")).click();
    await hook(page, "self").waitFor();
}
