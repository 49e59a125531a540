// What the tests of the command line share: the program itself, run with arguments, and a day's journal with serials as
// a station gives them out.
#pragma once

#include <sys/wait.h>

#include <cstdlib>
#include <string>
#include <vector>

#include <boost/json.hpp>

#include "specs/serial.h"
#include "station/journal/queries.h"
#include "tests/station/shop_day.h"
#include "tests/support/build_folder.h"

namespace cli_kit {

using namespace journal_kit;

struct Run {
    int code = -1;
    std::string out;
    std::string err;
};

inline std::string quoted(const std::string& text) {
    std::string out = "'";
    for (const char c : text)
        out += c == '\'' ? std::string("'\\''") : std::string(1, c);
    return out + "'";
}

inline const std::string program = build_folder() + "/tools/crimpgate";

inline Run run(const std::vector<std::string>& arguments) {
    const Folder folder;
    std::string command = quoted(program);
    for (const auto& argument : arguments)
        command += " " + quoted(argument);
    const auto out = folder / "out";
    const auto err = folder / "err";
    command += " >" + quoted(out.string()) + " 2>" + quoted(err.string()) + " </dev/null";
    const int status = std::system(command.c_str());
    return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, read_file(out), read_file(err)};
}

inline std::string source_file(const std::string& name) {
    return std::string(CRIMPGATE_SOURCE_DIR) + "/" + name;
}

inline bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

inline std::size_t count(const std::string& text, const std::string& part) {
    std::size_t n = 0;
    for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + part.size()))
        ++n;
    return n;
}

// Serials of the day: K100A, K100B ... as the first, second ... that a station with prefix K gives out.
inline std::string serial(char letter) {
    auto next = next_serial("K", 1000);
    for (char c = 'A'; c < letter; ++c)
        next = next_serial("K", next->counter);
    return next->serial.text();
}

inline void make_journal(const std::filesystem::path& file) {
    ShopDay day;
    for (auto& draft : day.drafts) {
        std::string body = boost::json::serialize(draft.body);
        for (const char letter : std::string("ABCDE"))
            for (std::size_t at = 0; (at = body.find(std::string("K100") + letter)) != std::string::npos;)
                body.replace(at, 5, serial(letter));
        draft.body = boost::json::parse(body).as_object();
    }
    Journal journal = open_journal(file);
    live_through(journal, day);
}

// Of the journal as it stands.
inline std::vector<Entry> all_entries(const std::filesystem::path& file) {
    JournalOptions options;
    options.access = JournalAccess::read;
    return must(open_journal(file, options).entries_from(1, 1000));
}

}  // namespace cli_kit
