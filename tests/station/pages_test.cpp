// The pages as a browser gets them: the right type, kept for ever under a name that changes with the build, and nothing
// else of the disk.
#include "tests/support/catch.h"
#include "tests/support/temp_folder.h"

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <stdexcept>

#include "station/http/guard.h"
#include "station/http/pages.h"

using namespace crimpgate;
namespace fs = std::filesystem;

namespace {

const std::vector<PageFile> small = {
    {"css/all.css", "body { color: black }"},
    {"index.html", "<script type=module src=/pages/HASH/main.js></script><link href=/pages/HASH/css/all.css>"},
    {"main.js", "import './kit/dom.js';"},
    {"words/en.json", "{}"}};

std::optional<HttpResponse> ask(const Pages& pages, const std::string& path, const std::string& method = "GET") {
    HttpRequest request;
    request.method = method;
    request.path = path;
    return pages.answer(request);
}

int status(const Pages& pages, const std::string& path, const std::string& method = "GET") {
    const auto answer = ask(pages, path, method);
    return answer ? answer->status : 0;
}

std::string header(const HttpResponse& response, std::string_view name) {
    for (const auto& [given, value] : response.headers)
        if (given == name) return value;
    return {};
}

struct Folder {
    Folder() { fs::create_directories(root / "web" / "kit"); }
    void write(const std::string& path, const std::string& text) const {
        fs::create_directories((root / path).parent_path());
        std::ofstream(root / path, std::ios::binary) << text;
    }
    const crimpgate::test::TempFolder root;
};

}  // namespace

TEST_CASE("the page of a build names that build's files, and is never kept; the files are, for ever") {
    const Pages pages(small);
    REQUIRE(pages.hash().size() == 16);
    CHECK(pages.hash().find_first_not_of("0123456789abcdef") == std::string::npos);
    const auto index = ask(pages, "/");
    REQUIRE(index.has_value());
    CHECK(index->status == 200);
    CHECK(index->content_type == "text/html; charset=utf-8");
    CHECK(index->body == "<script type=module src=/pages/" + pages.hash() + "/main.js></script><link href=/pages/" +
                             pages.hash() + "/css/all.css>");
    CHECK(header(*index, "Cache-Control").empty());  // what every answer has then stays: no-store
    const auto script = ask(pages, "/pages/" + pages.hash() + "/main.js");
    REQUIRE(script.has_value());
    CHECK(script->status == 200);
    CHECK(script->body == "import './kit/dom.js';");
    CHECK(script->content_type == "text/javascript; charset=utf-8");
    CHECK(header(*script, "Cache-Control") == "public, max-age=31536000, immutable");
    const auto words = ask(pages, "/pages/" + pages.hash() + "/words/en.json");
    REQUIRE(words.has_value());
    CHECK(words->content_type == "application/json; charset=utf-8");
}

TEST_CASE("an address that a person types finds the page; the API's addresses are the API's") {
    const Pages pages(small);
    for (const char* path : {"/", "/bench", "/holds/K1-7", "/apiary"}) {
        INFO(path);
        CHECK(status(pages, path) == 200);
        CHECK(status(pages, path, "HEAD") == 200);
    }
    for (const char* path : {"/api", "/api/health", "/api/nothing.js"}) {
        INFO(path);
        CHECK(status(pages, path) == 0);
        CHECK(status(pages, path, "POST") == 0);
    }
    for (const char* path : {"/main.js", "/index.html", "/pages", "/robots.txt"}) {
        INFO(path);
        CHECK(status(pages, path) == 404);
    }
    CHECK(status(pages, "/favicon.ico") == 204);
    const auto posted = ask(pages, "/", "POST");
    REQUIRE(posted.has_value());
    CHECK(posted->status == 405);
    CHECK(header(*posted, "Allow") == "GET, HEAD");
}

TEST_CASE("files of another build, and names that are none, are not there") {
    const Pages pages(small);
    const std::string own = "/pages/" + pages.hash();
    for (const std::string& path : {std::string("/pages/0123456789abcdef/main.js"), std::string("/pages/draft/main.js"),
                                    own, own + "/", own + "/nothing.js", own + "/css", own + "/css/", own + "//main.js",
                                    own + "/MAIN.JS", std::string("/pages//main.js"), own + "x/main.js"}) {
        INFO(path);
        CHECK(status(pages, path) == 404);
    }
}

TEST_CASE("any change to any file is another name") {
    const std::string first = Pages(small).hash();
    CHECK(Pages(small).hash() == first);
    auto turned = small;
    std::swap(turned[0], turned[2]);
    CHECK(Pages(turned).hash() == first);  // the order they come in means nothing
    auto text = small, name = small, fewer = small;
    text[3].text = "{ }";
    name[2].path = "start.js";
    fewer.pop_back();
    for (const auto& other : {text, name, fewer})
        CHECK(Pages(other).hash() != first);
    // What moves from one text into the next one's name is a change as well.
    const std::vector<PageFile> two = {{"a.js", "1"}, {"b.js", "2"}}, one = {{"a.js", "1b.js2"}};
    CHECK(Pages(two).hash() != Pages(one).hash());
}

TEST_CASE("the build holds every page file and every sentence, byte for byte") {
    const auto built = built_pages();
    std::size_t seen = 0;
    const fs::path station = fs::path(CRIMPGATE_SOURCE_DIR) / "station";
    for (const auto& file : built) {
        const bool words = file.path.starts_with("words/");
        fs::path source = (words ? station : station / "web") / file.path;
        // tools/setup
        if (file.path == "foreign/chart.js") source = "/usr/share/javascript/chart.js/chart.min.js";
        if (file.path == "foreign/nacl.js") source = "/usr/share/nodejs/tweetnacl/nacl-fast.min.js";
        std::ifstream in(source, std::ios::binary);
        const std::string text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
        INFO(file.path);
        CHECK(in.is_open());
        CHECK(text == file.text);
        CHECK_FALSE(content_type_of(file.path).empty());
        if (file.path == "words/en.json") ++seen;
    }
    CHECK(seen == 1);
    if (fs::exists(station / "web"))
        for (const auto& entry : fs::recursive_directory_iterator(station / "web")) {
            if (!entry.is_regular_file() || content_type_of(entry.path().string()).empty()) continue;
            const auto path = fs::relative(entry.path(), station / "web").string();
            INFO(path);
            CHECK(std::count_if(built.begin(), built.end(), [&](const auto& f) { return f.path == path; }) == 1);
        }
}

TEST_CASE("pages from a folder are read anew each time, kept by nobody, and show nothing beyond the folder") {
    const Folder folder;
    CHECK_FALSE(Pages::from_folder(folder.root / "web").has_value());
    CHECK(Pages::from_folder(folder.root / "none").error().code == "http.pages_unreadable");
    folder.write("web/index.html", "<script src=/pages/HASH/main.js>");
    folder.write("web/main.js", "one");
    folder.write("secret.js", "kept from pages");
    folder.write("web-other/x.js", "kept from pages");
    folder.write("web/.hidden/x.js", "kept from pages");
    folder.write("web/notes.md", "kept from pages");
    fs::create_symlink(folder.root / "secret.js", folder.root / "web" / "out.js");
    fs::create_symlink(folder.root / "web-other", folder.root / "web" / "other");
    fs::create_symlink(folder.root / "web" / "main.js", folder.root / "web" / "again.js");
    const auto pages = Pages::from_folder(folder.root / "web");
    REQUIRE(pages.has_value());
    CHECK(pages->hash() == "draft");
    CHECK(ask(*pages, "/")->body == "<script src=/pages/draft/main.js>");
    CHECK(ask(*pages, "/pages/draft/main.js")->body == "one");
    CHECK(header(*ask(*pages, "/pages/draft/main.js"), "Cache-Control").empty());
    folder.write("web/main.js", "two");
    CHECK(ask(*pages, "/pages/draft/main.js")->body == "two");
    CHECK(ask(*pages, "/pages/draft/again.js")->body == "two");  // a link that stays inside
    for (const char* path : {"out.js", "other/x.js", "../secret.js", "../web-other/x.js", "kit/../../secret.js",
                             "/secret.js", ".hidden/x.js", "notes.md", "kit"}) {
        INFO(path);
        CHECK(status(*pages, std::string("/pages/draft/") + path) == 404);
    }
    // The charts' library is the build's; no folder of the pages has it.
    CHECK(ask(*pages, "/pages/draft/foreign/chart.js")->content_type == "text/javascript; charset=utf-8");
    // The sentences: of the build, until there are some beside the folder.
    CHECK(ask(*pages, "/pages/draft/words/en.json")->body.find("http.no_page") != std::string::npos);
    folder.write("words/en.json", "{\"a\": \"b\"}");
    CHECK(ask(*pages, "/pages/draft/words/en.json")->body == "{\"a\": \"b\"}");
    fs::create_symlink(folder.root / "secret.js", folder.root / "words" / "de.json");
    CHECK(ask(*pages, "/pages/draft/words/de.json")->body.find("kept from pages") == std::string::npos);
}

TEST_CASE("a page may load from the station alone, and nothing may be written into it") {
    std::string policy;
    for (const auto& [name, value] : safety_headers())
        if (name == "Content-Security-Policy") policy = value;
    CHECK_THAT(policy, cqt::contains("default-src 'none'"));
    CHECK_THAT(policy, cqt::contains("script-src 'self'"));
    CHECK(policy.find("unsafe") == std::string::npos);
    CHECK(policy.find('*') == std::string::npos);
}
