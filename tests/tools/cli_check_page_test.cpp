// crimpgate check-page: whose keys stand in the page. What the page does is tests/browser/check_test.js.
#include "station/proof/signing_key.h"
#include "tests/tools/cli_kit.h"

using namespace cli_kit;

namespace {

std::string tag_key(unsigned char n) {
    return SigningKey("bench-1", KeyType::ed25519, tag_seed(Seed{n})).verifier().text();
}

}  // namespace

TEST_CASE("the page that checks tags holds the keys that are given, the first as the one in use") {
    const auto page = run({"check-page", "--key", tag_key(1) + "," + tag_key(2)});
    CHECK(page.code == 0);
    CHECK(page.out.starts_with("<!doctype html>"));
    CHECK(has(page.out, "\"key\":\"" + tag_key(1) + "\",\"retired\":false"));
    CHECK(has(page.out, "\"key\":\"" + tag_key(2) + "\",\"retired\":true"));
}

TEST_CASE("the page that checks tags takes its keys from a journal; one that knows none is told apart from wrong use") {
    const Folder folder;
    const auto day = folder / "day.sqlite", empty = folder / "empty.sqlite";
    make_journal(day);
    open_journal(empty);
    const auto none = run({"check-page", "--journal", empty.string()});
    CHECK(none.code == 3);
    CHECK(none.out.empty());
    CHECK(has(none.err, "knows no key yet"));
    // The day's key is handed over once.
    const auto page = run({"check-page", "--journal", day.string()});
    INFO(page.err);
    CHECK(page.code == 0);
    CHECK(count(page.out, "\"retired\":false") == 1);
    CHECK(count(page.out, "\"retired\":true") == 1);
    CHECK(run({"check-page"}).code == 2);
    CHECK(run({"check-page", "--key", "no key"}).code == 2);
    CHECK(run({"check-page", "--key", tag_key(1), "--journal", "x"}).code == 2);
    CHECK(run({"check-page", "--journal", "/nowhere/journal.sqlite"}).code == 3);
    CHECK(has(run({"help", "check-page"}).out, "crimpgate check-page - "));
}
