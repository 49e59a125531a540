// What waits beside the work: a tag that the printer did not take. The part passed; its tag is missing, and that is said
// until it is there (R10).
import assert from "node:assert/strict";
import {after, before, test} from "node:test";

import {openBench, hook} from "./bench_kit.js";

let bench;
before(async () => {
    bench = await openBench({to: "measure", toml: {tag: 'printer = "nowhere"'}});
});
after(async () => {
    await bench.close();
});

test("R10: a tag that no printer took is told beside the work, with what to do, and stays told while it fails", async () => {
    await bench.end();
    await bench.end();
    await hook(bench.page, "tag-failed").waitFor();
    const [serial] = (await bench.state()).tags_failed;
    assert.match(await hook(bench.page, "tag-failed").innerText(), new RegExp(serial));
    assert.doesNotMatch(await hook(bench.page, "said").innerText(), /printed/, "nothing beside it says otherwise");
    await bench.looked("tag-failed");
    const before = (await bench.state()).seq;
    await hook(bench.page, "tag-again").click();
    const until = Date.now() + 30000;
    for (;;) {
        const now = await bench.state();
        if (now.seq > before && now.tags_failed.includes(serial)) break;
        assert.ok(Date.now() < until, "it was tried again and failed again");
        await new Promise((resolve) => setTimeout(resolve, 100));
    }
    await hook(bench.page, "tag-failed").waitFor();
});
