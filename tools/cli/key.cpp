// key show, key handovers and key restore: the station's keys, and its secret read back from the recovery page.
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <iostream>

#include <fmt/format.h>
#include <boost/json.hpp>

#include "specs/shown_text.h"
#include "station/daemon/station_key.h"
#include "station/proof/recovery_text.h"
#include "station/words/catalogue.h"
#include "tools/cli/commands.h"
#include "tools/cli/opened.h"
#include "tools/cli/record_source.h"
#include "tools/cli/text_table.h"

namespace crimpgate::cli {

namespace {

namespace json = boost::json;

// A secret that is wiped whatever happens.
struct Held {
    Seed seed{};
    ~Held() { wipe(seed); }
};

// Group after group; at a terminal a wrong one is asked for again at once.
std::string groups_from_terminal() {
    std::string all, word;
    for (std::size_t number = 1; number <= recovery_groups; ++number) {
        std::fprintf(stderr, "Group %zu of %zu: ", number, recovery_groups);
        if (!std::getline(std::cin, word)) break;
        const auto groups = groups_in(word);
        const auto fine = check_recovery_group(number, groups.size() == 1 ? groups.front() : word);
        if (!fine) {
            std::fprintf(stderr, "%s\n", say(fine.error()).c_str());
            --number;
            continue;
        }
        all += groups.front() + "\n";
    }
    return all;
}

std::string groups_from_input() {
    if (::isatty(STDIN_FILENO) == 1) return groups_from_terminal();
    std::string all, line;
    while (std::getline(std::cin, line) && all.size() < 4096)
        all += line + "\n";
    return all;
}

// The last key that the journal knows; nothing without a journal.
Result<std::optional<VerifierKey>> known_key(const CommandLine& line) {
    if (!line.has("--journal")) return std::optional<VerifierKey>();
    bool wrong = false;
    const auto source = open_record(line, wrong);
    if (!source) return refuse(source.error());
    const auto keys = (*source)->keys();
    if (!keys) return refuse(keys.error());
    const auto& list = keys->at("keys").as_array();
    if (list.empty()) return refuse(message("cli.no_station_key"));
    auto key = parse_verifier_key(text_in(list.front().as_object(), "key"));
    if (!key) return refuse(std::move(key.error()));
    return std::optional<VerifierKey>(std::move(*key));
}

}  // namespace

int key_show(const CommandLine& line) {
    const auto asked = opened_record(line);
    if (!asked.source) return asked.how;
    const auto keys = asked.source->keys();
    if (!keys) return fail_with(keys.error());
    if (line.has("--json")) {
        print_json(*keys);
        return Exit::fine;
    }
    if (keys->at("keys").as_array().empty()) print("This record knows no key yet: it was never signed.\n");
    for (const auto& value : keys->at("keys").as_array()) {
        const auto& k = value.as_object();
        print(fmt::format("{} since {} UTC (entry {}){}\n    checkpoints, papers  {}\n    tags                 {}\n",
                          yes_in(k, "in_force") ? "IN FORCE" : "RETIRED", short_time(text_in(k, "since")),
                          number_in(k, "seq"),
                          yes_in(k, "handed_over") ? ", with the word of the key before it"
                          : number_in(k, "seq") > 0 && &value != &keys->at("keys").as_array().back()
                              ? ", made anew WITHOUT the word of the key before it"
                              : "",
                          text_in(k, "key"), text_in(k, "tag_key")));
    }
    for (const auto& value : keys->at("witnesses").as_array())
        print(fmt::format("witness {}\n    {}\n", shown_text(text_in(value.as_object(), "holder")),
                          text_in(value.as_object(), "key")));
    return Exit::fine;
}

int key_handovers(const CommandLine& line) {
    const auto asked = opened_record(line);
    if (!asked.source) return asked.how;
    const auto keys = asked.source->keys();
    if (!keys) return fail_with(keys.error());
    for (const auto& note : hand_overs_in(*keys))
        print(note);
    return Exit::fine;
}

int key_restore(const CommandLine& line) {
    const std::string& file = line.words.front();
    const auto wanted = known_key(line);
    if (!wanted) return fail(Exit::cannot, wanted.error());
    std::string typed = groups_from_input();
    auto read = read_recovery_text(typed);
    // Not left in memory longer than needed; what standard input buffered is gone with the program.
    std::fill(typed.begin(), typed.end(), '\0');
    if (!read) {
        for (const auto& why : read.error())
            (void)fail(Exit::found_wrong, why);
        return Exit::found_wrong;
    }
    Held held;
    held.seed = *read;
    wipe(*read);
    const std::string name = *wanted ? (*wanted)->name : "station";
    const auto key = keys_of(name, held.seed).checkpoints.verifier();
    if (*wanted && **wanted != key)
        return fail(Exit::found_wrong, message("recovery.other_key").with("wanted", (*wanted)->text()));
    if (const auto written = write_key_file(file, held.seed); !written) return fail(Exit::cannot, written.error());
    // Without the journal its name is not known, and the key id depends on it: the part behind the last plus is the
    // key.
    const std::string text = key.text();
    print(*wanted
              ? fmt::format("The key is back in {}, and it is the one that this journal was signed with:\n{}\n",
                            shown_text(file), text)
              : fmt::format("The key is back in {}. Compare with the public key on the page; it must end with:\n{}\n",
                            shown_text(file), text.substr(text.find('+', text.find('+') + 1) + 1)));
    return Exit::fine;
}

}  // namespace crimpgate::cli
