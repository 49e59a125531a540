// The page that checks tags, as it is put together: whose keys, and that a file alone asks nobody anything. What it
// does is tests/browser/check_test.js.
#include "station/http/check_page.h"

#include "station/http/pages.h"
#include "station/proof/hash.h"
#include "station/proof/signing_key.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using cqt::contains;

namespace {

std::string tag_key_text(unsigned char n) {
    const SigningKey key("bench-1", KeyType::ed25519, tag_seed(Seed{n}));
    return to_base64(as_text(key.verifier().key));
}

std::string between(const std::string& text, const std::string& from, const std::string& to) {
    const auto begin = text.find(from);
    REQUIRE(begin != std::string::npos);
    const auto end = text.find(to, begin + from.size());
    REQUIRE(end != std::string::npos);
    return text.substr(begin + from.size(), end - begin - from.size());
}

HttpResponse asked(const Pages& pages, const std::string& path) {
    HttpRequest request;
    request.method = "GET";
    request.path = path;
    const auto response = pages.answer(request);
    REQUIRE(response);
    return *response;
}

}  // namespace

TEST_CASE("the page knows the newest tag key first, and those that were handed over as such") {
    StationKey first, second;
    first.name = second.name = "bench-1";
    first.tag_key = tag_key_text(1);
    second.tag_key = tag_key_text(2);
    const auto keys = check_keys({first, second});
    REQUIRE(keys);
    REQUIRE(keys->size() == 2);
    CHECK_FALSE((*keys)[0].retired);
    CHECK((*keys)[1].retired);
    CHECK((*keys)[0].key == check_key("bench-1", tag_key_text(2), false)->key);
    CHECK(parse_verifier_key((*keys)[1].key));
    CHECK(check_key("bench-1", "no key", false).error().code == "key.malformed");
    CHECK(check_key("bench 1", tag_key_text(1), false).error().code == "key.malformed");
}

TEST_CASE("the file to hand out names no address, and only its own scripts may run in it") {
    const auto key = *check_key("bench-1", tag_key_text(1), false);
    const std::string page = check_page_alone({key});
    CHECK_THAT(page, contains(key.key));
    CHECK_THAT(page, contains("page.check.not.copied"));
    CHECK_THAT(page, contains("\"served\":false"));  // it knows no station to lead to
    for (const char* reaches_out :
         {" src=", "href=\"/", "href=\"http", "<!--HEAD", "<!--FOOT", "\nimport ", "\nexport "})
        CHECK_THAT(page, !contains(reaches_out));
    const std::string policy = between(page, "Content-Security-Policy\" content=\"", "\"");
    CHECK(policy.starts_with("default-src 'none';"));
    CHECK_THAT(policy, !contains("unsafe"));
    for (const auto& [open, close] : {std::pair<const char*, const char*>{"<script>", "</script>"},
                                      {"<script type=\"module\">", "</script>"},
                                      {"<style>", "</style>"}})
        CHECK_THAT(policy, contains("'sha256-" + to_base64(sha256(between(page, open, close))) + "'"));
}

TEST_CASE("what a key is called cannot end the block that it stands in") {
    const std::string page = check_page_alone({{"</script><script>alert(1)", false}});
    CHECK_THAT(page, !contains("</script><script>alert"));
    CHECK_THAT(page, contains("\\u003c/script>\\u003cscript>alert(1)"));
}

TEST_CASE("the station shows the page wherever a tag's link leads, and its files come from the station") {
    Pages pages(built_pages());
    pages.check_tags_with([] { return std::vector<CheckKey>{*check_key("bench-1", tag_key_text(3), false)}; });
    for (const char* path : {"/C", "/C/", "/C/REAKU5"}) {
        const auto response = asked(pages, path);
        CHECK(response.status == 200);
        CHECK_THAT(response.body, contains(check_key("bench-1", tag_key_text(3), false)->key));
        CHECK_THAT(response.body, contains("/pages/" + pages.hash() + "/check/page.js"));
        CHECK_THAT(response.body, contains("\"served\":true"));
        // The station's policy lets no script stand in a page: what is inline is no script.
        CHECK_THAT(response.body, !contains("<script>"));
        CHECK_THAT(response.body, !contains("<style"));
    }
    for (const char* file : {"check/page.js", "check/statement.js", "check/check.css", "foreign/nacl.js", "mark.svg"})
        CHECK(asked(pages, "/pages/" + pages.hash() + "/" + file).status == 200);
    CHECK_THAT(asked(pages, "/c/REAKU5").body, !contains("check/page.js"));  // lower case is the pages' own
}
