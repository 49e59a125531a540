// The message catalogue against the sources: a sentence for every code, a code for every sentence, a detail for every
// hole.
#include "tests/support/catch.h"

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <regex>
#include <set>
#include <string>

namespace {

namespace fs = std::filesystem;

std::string text_of(const fs::path& file) {
    std::ifstream in(file, std::ios::binary);
    return std::string((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
}

struct Sources {
    std::map<std::string, std::string> codes;  // of message("..."), and "page...." of the pages, with the file
    std::set<std::string> literals;            // every string literal
};

// The pages say a sentence by its whole code, "page.bench.push"; its details are the members of an object.
void read_page(const fs::path& file, Sources& out) {
    const std::regex code("\"(page(\\.[a-z][a-z0-9_]*)+)\"");
    const std::regex member("\\b([a-z][a-z0-9_]*)\\b\\s*[:,}]");
    const std::string text = text_of(file);
    for (std::sregex_iterator at(text.begin(), text.end(), code), end; at != end; ++at) {
        out.codes.emplace((*at)[1], file.filename().string());
        out.literals.insert((*at)[1]);
    }
    for (std::sregex_iterator at(text.begin(), text.end(), member), end; at != end; ++at)
        out.literals.insert((*at)[1]);
}

Sources sources() {
    Sources out;
    const std::regex made("\\bmessage\\(\\s*\"([^\"]*)\"");
    const std::regex literal("\"((?:[^\"\\\\\\n]|\\\\.)*)\"");
    for (const char* folder : {"specs", "drivers", "reports", "station", "tools"}) {
        for (const auto& entry : fs::recursive_directory_iterator(fs::path(CRIMPGATE_SOURCE_DIR) / folder)) {
            const auto extension = entry.path().extension();
            if (extension == ".js") read_page(entry.path(), out);
            // The page that checks tags and the customer's stand alone: they say their sentences by their last part.
            const auto page = entry.path().parent_path().filename();
            if ((page == "check" || page == "trace") && (extension == ".js" || extension == ".html")) {
                const std::string text = text_of(entry.path());
                for (std::sregex_iterator at(text.begin(), text.end(), literal), end; at != end; ++at)
                    out.literals.insert((*at)[1]);
            }
            if (extension != ".cpp" && extension != ".h") continue;
            const std::string text = text_of(entry.path());
            for (std::sregex_iterator at(text.begin(), text.end(), made), end; at != end; ++at)
                out.codes.emplace((*at)[1], entry.path().filename().string());
            for (std::sregex_iterator at(text.begin(), text.end(), literal), end; at != end; ++at)
                out.literals.insert((*at)[1]);
        }
    }
    return out;
}

// The catalogue's lines have one form, which tools/words keeps:  "code": "sentence",
std::map<std::string, std::string> catalogue() {
    std::map<std::string, std::string> out;
    const std::string text = text_of(fs::path(CRIMPGATE_SOURCE_DIR) / "station/words/en.json");
    const std::regex line("\\n  \"([^\"]+)\": \"((?:[^\"\\\\]|\\\\.)*)\"");
    for (std::sregex_iterator at(text.begin(), text.end(), line), end; at != end; ++at)
        out[(*at)[1]] = (*at)[2];
    return out;
}

// A few places say many sentences of one kind, by what comes behind their common beginning.
bool said(const Sources& found, const std::string& code) {
    if (found.literals.contains(code)) return true;
    for (const std::string prefix :
         {"certificate.paper.", "recall.paper.", "page.check.", "page.check.fault.", "page.trace.", "page.trace.state.",
          "page.trace.head.", "page.trace.why.", "page.trace.what.", "page.trace.col.", "page.trace.file.",
          "page.trace.avoid.", "page.trace.seen."}) {
        if (!code.starts_with(prefix)) continue;
        auto rest = code.substr(prefix.size());
        if (found.literals.contains(rest)) return true;
        if (rest.ends_with(".do") && found.literals.contains(rest.substr(0, rest.size() - 3))) return true;
    }
    return false;
}

}  // namespace

TEST_CASE("every code that the program can say has a sentence") {
    const auto found = sources();
    const auto words = catalogue();
    CHECK(found.codes.size() > 100);
    for (const auto& [code, file] : found.codes) {
        INFO(code + " in " + file + ": add one with tools/words " + code + " \"Sentence {hole}.\" \"Satz {hole}.\"");
        CHECK(words.contains(code));
    }
}

TEST_CASE("every sentence belongs to a code in the sources, and each of its holes to a detail") {
    const auto found = sources();
    const auto words = catalogue();
    const std::regex hole("\\{([^}]*)\\}");
    for (const auto& [code, sentence] : words) {
        INFO(code + ": " + sentence);
        CHECK(said(found, code));
        for (std::sregex_iterator at(sentence.begin(), sentence.end(), hole), end; at != end; ++at) {
            INFO(std::string((*at)[1]));
            CHECK(found.literals.contains((*at)[1]));
        }
    }
}

TEST_CASE("codes are lower-case and dotted, and the catalogue is read whole") {
    const std::regex code_form("[a-z][a-z0-9_]*(\\.[a-z][a-z0-9_]*)+");
    const auto words = catalogue();
    const std::string text = text_of(fs::path(CRIMPGATE_SOURCE_DIR) / "station/words/en.json");
    CHECK(words.size() == static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n') - 2));  // none unread
    for (const auto& [code, sentence] : words) {
        INFO(code + ": " + sentence);
        CHECK(std::regex_match(code, code_form));
        REQUIRE_FALSE(sentence.empty());
        // A button says one word, and so does the head of a column.
        const bool label = code.starts_with("page.") || code.starts_with("audit.sheet.") ||
                           code.starts_with("audit.column.") || code.starts_with("audit.value.") ||
                           code.starts_with("audit.paper.") || code.starts_with("audit.chart.") ||
                           code.starts_with("certificate.paper.") || code.starts_with("recall.paper.") ||
                           code.starts_with("recovery.paper.");
        if (!label) CHECK(sentence.size() > 10);
    }
}
