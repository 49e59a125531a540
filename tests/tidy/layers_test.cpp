// The layers and the house rules as a test: what a folder may include, how long a file may be, which calls are banned
// and what takes their place. The table is DEVELOPERS.md, "Layers".
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include "tests/support/catch.h"

namespace fs = std::filesystem;

namespace {

const std::map<std::string, std::set<std::string>> may_include = {
    {"specs", {"specs"}},
    {"drivers", {"drivers", "specs"}},
    {"reports", {"reports", "specs"}},
    {"station", {"station", "drivers", "reports", "specs"}},
    {"tools", {"tools", "station", "drivers", "reports", "specs"}},
    {"tests", {"tests", "tools", "station", "drivers", "reports", "specs"}},
};

struct Source {
    std::string path;    // from the root of the project
    std::string folder;  // its layer
    std::vector<std::string> lines;
};

std::vector<Source> sources() {
    const fs::path root = CRIMPGATE_SOURCE_DIR;
    std::vector<Source> out;
    for (const auto& [folder, unused] : may_include) {
        for (const auto& entry : fs::recursive_directory_iterator(root / folder)) {
            const auto extension = entry.path().extension();
            if (extension != ".h" && extension != ".cpp" && extension != ".js" && extension != ".css") continue;
            Source source{fs::relative(entry.path(), root).string(), folder, {}};
            std::ifstream file(entry.path());
            for (std::string line; std::getline(file, line);)
                source.lines.push_back(line);
            out.push_back(std::move(source));
        }
    }
    return out;
}

// What a line says to the compiler: without its comment and its text in quotes.
std::string code_of(const std::string& line) {
    std::string out;
    bool quoted = false;
    for (std::size_t i = 0; i < line.size(); ++i) {
        if (quoted && line[i] == '\\') {
            ++i;
        } else if (line[i] == '"') {
            quoted = !quoted;
        } else if (!quoted && line.compare(i, 2, "//") == 0) {
            break;
        } else if (!quoted) {
            out += line[i];
        }
    }
    return out;
}

struct Ban {
    std::string call;
    std::set<std::string> folders;
    std::string instead;
};

const std::set<std::string> everywhere = {"specs", "drivers", "reports", "station", "tools", "tests"};
const std::set<std::string> judged = {"specs", "drivers"};

const std::vector<Ban> bans = {
    {"strtod", everywhere, "parse_decimal or Length::parse: exact, and blind to the locale"},
    {"strtof", everywhere, "parse_decimal or Length::parse"},
    {"atof", everywhere, "parse_decimal or Length::parse"},
    {"stod", everywhere, "parse_decimal or Length::parse"},
    {"stof", everywhere, "parse_decimal or Length::parse"},
    {"setlocale", everywhere, "nothing: the program runs in the C locale; words come from the catalogue"},
    {"ostringstream", judged, "Length::to_mm_text, to_decimal_text or std::to_string"},
    {"istringstream", judged, "parse_decimal or the CSV reader"},
    {"stringstream", judged, "parse_decimal or to_decimal_text"},
    {"setprecision", everywhere, "to_decimal_text"},
    {"system_clock", {"specs", "reports"}, "a time that is handed in"},
};

// Wholes in `dir` that may not be used from a pure place.
const std::vector<std::pair<std::string, std::string>> pure_places = {
    {"specs/", "boost/asio|boost/beast|SQLiteCpp|sqlite3|hpdf|fstream|sys/|unistd"},
    {"station/bench/", "boost/asio|boost/beast|SQLiteCpp|sqlite3|hpdf|fstream|sys/|unistd|chrono"},
    {"station/entries/", "boost/asio|boost/beast|SQLiteCpp|sqlite3|hpdf|fstream|sys/|unistd"},
    {"station/proof/", "boost/asio|boost/beast|SQLiteCpp|sqlite3|hpdf|fstream|sys/|unistd|chrono"},
    {"reports/", "boost/asio|boost/beast|SQLiteCpp|sqlite3|sys/|unistd"},
};

// Whether that line calls it: the name as a word of its own.
bool calls(const std::string& code, const std::string& call) {
    const auto of_a_name = [&](std::size_t at) {
        return at < code.size() && (std::isalnum(static_cast<unsigned char>(code[at])) || code[at] == '_');
    };
    for (auto at = code.find(call); at != std::string::npos; at = code.find(call, at + 1))
        if ((at == 0 || !of_a_name(at - 1)) && !of_a_name(at + call.size())) return true;
    return false;
}

}  // namespace

TEST_CASE("A folder includes only from the layers below it") {
    const std::regex ours(R"re(^\s*#\s*include\s*"(([a-z]+)/[^"]+)")re");
    std::size_t seen = 0;
    for (const auto& source : sources()) {
        for (const auto& line : source.lines) {
            std::smatch match;
            if (!std::regex_search(line, match, ours)) continue;
            ++seen;
            INFO(source.path << " includes " << match[1] << "; move what it needs down, or the code that needs it up");
            CHECK(may_include.at(source.folder).contains(match[2]));
        }
    }
    CHECK(seen > 100);  // the pattern still finds what it looks for
}

TEST_CASE("What is pure includes nothing that does input or output") {
    for (const auto& source : sources()) {
        for (const auto& [place, forbidden] : pure_places) {
            if (source.path.rfind(place, 0) != 0) continue;
            const std::regex pattern(R"(^\s*#\s*include\s*[<"](?:)" + forbidden + ")");
            for (const auto& line : source.lines) {
                INFO(source.path << ": " << line << "; hand the bytes or the time in instead");
                CHECK_FALSE(std::regex_search(line, pattern));
            }
        }
    }
}

TEST_CASE("SQLite stays inside the journal's folder and Beast inside the HTTP folder") {
    for (const auto& source : sources()) {
        if (source.folder == "tests" || source.folder == "tools") continue;
        for (const auto& line : source.lines) {
            if (line.find("#include") == std::string::npos) continue;
            INFO(source.path << ": " << line);
            if (line.find("SQLiteCpp/") != std::string::npos || line.find("sqlite3.h") != std::string::npos)
                CHECK(source.path.rfind("station/journal/", 0) == 0);
            if (line.find("boost/beast") != std::string::npos) CHECK(source.path.rfind("station/http/", 0) == 0);
        }
    }
}

TEST_CASE("No file is longer than 500 lines") {
    for (const auto& source : sources()) {
        INFO(source.path << " has " << source.lines.size() << " lines; it holds two ideas: give each a file");
        CHECK(source.lines.size() <= 500);
    }
}

TEST_CASE("Banned calls are not made, and the message names what to use instead") {
    CHECK(calls("const double mm = strtod(text, &end);", "strtod"));
    CHECK(calls("my_strtod(a); strtod(b);", "strtod"));
    CHECK_FALSE(calls("my_strtod(text); strtod_l(text);", "strtod"));
    std::size_t held = 0;
    for (const auto& source : sources()) {
        if (source.path == "tests/tidy/layers_test.cpp") continue;  // names them
        for (std::size_t i = 0; i < source.lines.size(); ++i) {
            const std::string code = code_of(source.lines[i]);
            for (const auto& ban : bans) {
                if (!ban.folders.contains(source.folder)) continue;
                ++held;
                INFO(source.path << ":" << i + 1 << " calls " << ban.call << "; use " << ban.instead);
                if (calls(code, ban.call)) FAIL_CHECK("a banned call");
            }
        }
    }
    CHECK(held > 100'000);
}

TEST_CASE("No unfinished work is left in the code") {
    const std::regex unfinished(R"(\b(TODO|FIXME|XXX)\b)");
    for (const auto& source : sources()) {
        if (source.path == "tests/tidy/layers_test.cpp") continue;
        for (std::size_t i = 0; i < source.lines.size(); ++i) {
            INFO(source.path << ":" << i + 1 << ": finish it, or write it down in DEVELOPERS.md");
            CHECK_FALSE(std::regex_search(source.lines[i], unfinished));
        }
    }
}

TEST_CASE("Every header says what it is for before it says anything else") {
    for (const auto& source : sources()) {
        if (!source.path.ends_with(".h")) continue;
        INFO(source.path << " starts without a comment");
        REQUIRE_FALSE(source.lines.empty());
        CHECK(source.lines.front().rfind("//", 0) == 0);
    }
}

// Called by itself it only prints what it found: nothing fails.
TEST_CASE("A property's answer is checked") {
    const std::regex bare(R"(^\s*rc::check\()");
    for (const auto& source : sources()) {
        for (std::size_t i = 0; i < source.lines.size(); ++i) {
            INFO(source.path << ":" << i + 1 << ": CHECK(rc::check(...))");
            CHECK_FALSE(std::regex_search(source.lines[i], bare));
        }
    }
}
