// A page in the other language, and whether its longer words still have room.
import assert from "node:assert/strict";

import {hook} from "./browser.js";

// As a person changes it for themselves, wherever they are; what stands on the page stands there again.
export async function inLanguage(page, language) {
    await hook(page, "self").click();
    await hook(page, "ask-language").selectOption(language);
    await hook(page, "dialog-yes").click();
    await page.locator("dialog[open]").waitFor({state: "detached"});
    await page.locator('[data-test="sign-out"]', {hasText: language === "de" ? "Abmelden" : "Sign out"}).waitFor();
}

// German words are longer: none is cut, none runs out of its place, and nothing makes the page scroll sideways.
export async function nothingCut(page, name) {
    const cut = await page.evaluate(() => {
        const wide = [...document.querySelectorAll("#place *, dialog[open] *")].filter((n) => {
            const style = getComputedStyle(n);
            if (n.getClientRects().length === 0 || style.display === "inline" || n.closest("svg, .visually-hidden, [hidden]")) return false;
            return n.scrollWidth > n.clientWidth + 1 && !["auto", "scroll"].includes(style.overflowX) && style.textOverflow !== "ellipsis" && n.clientWidth > 1;
        });
        const told = wide.map((n) => `${n.outerHTML.slice(0, 100)}: ${n.scrollWidth} in ${n.clientWidth}`);
        if (document.documentElement.scrollWidth > innerWidth) told.push(`the page: ${document.documentElement.scrollWidth} in ${innerWidth}`);
        return told;
    });
    assert.deepEqual(cut, [], `${name}: every word has its place`);
}
