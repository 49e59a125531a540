// verify, rebuild-views and back-up: the care of a journal.
#include <filesystem>

#include <fmt/format.h>
#include <boost/json.hpp>

#include "specs/shown_text.h"
#include "station/json/canonical.h"
#include "tools/cli/commands.h"
#include "tools/cli/source.h"
#include "tools/cli/text_table.h"

namespace crimpgate::cli {

namespace {

namespace json = boost::json;

int refused(const Message& why, bool wrong_words) {
    return wrong_words ? fail(Exit::wrong_use, why) : fail_with(why);
}

// The last entry's time and hash: written down elsewhere they show whether anything was cut off since.
std::string last_entry(Source& source, std::int64_t seq) {
    if (seq == 0) return {};
    const auto found = source.entries(seq, 1);
    if (!found || found->empty()) return {};
    const auto& entry = found->front().as_object();
    std::string time = short_time(text_in(entry, "time"));  // kept back with a person's
    if (!time.empty()) time += " UTC, ";
    return fmt::format("Last entry: {}, {}hash {}\n", seq, time, text_in(entry, "hash"));
}

int tell(Source& source, const json::object& verified) {
    const auto entries = number_in(verified, "entries");
    if (yes_in(verified, "sound")) {
        print(
            fmt::format("The journal is sound up to entry {}: no number is missing, every entry has the hash that it "
                        "was given, and the tables for search show what the entries say.\n",
                        entries));
        print(last_entry(source, entries));
        return Exit::fine;
    }
    const auto seq = number_in(verified, "damaged_seq");
    if (seq == 0)
        print(fmt::format("NOT SOUND. All {} entries are as they were written; a table for search is not.\n", entries));
    else if (entries == 0)
        print(fmt::format("NOT SOUND from the first entry on ({}).\n", seq));
    else
        print(fmt::format("NOT SOUND. Entries 1 to {} are as they were written; the first that is not is entry {}.\n",
                          entries, seq));
    const auto* damage = verified.if_contains("damage");
    if (damage != nullptr && damage->is_object()) print(text_in(damage->get_object(), "words") + "\n");
    return Exit::found_wrong;
}

}  // namespace

int verify(const CommandLine& line) {
    bool wrong = false;
    const auto source = open_source(line, Access::read, wrong);
    if (!source) return refused(source.error(), wrong);
    const auto verified = (*source)->verify();
    if (!verified) return fail_with(verified.error());
    if (!line.has("--json")) return tell(**source, *verified);
    print_json(*verified);
    return yes_in(*verified, "sound") ? Exit::fine : Exit::found_wrong;
}

int rebuild_views(const CommandLine& line) {
    bool wrong = false;
    const auto source = open_source(line, Access::write, wrong);
    if (!source) return refused(source.error(), wrong);
    if (const auto done = (*source)->rebuild_views(); !done) return fail_with(done.error());
    if (line.has("--json"))
        print_json({{"rebuilt", true}});
    else
        print("The tables for search were made anew from the entries. No entry was touched.\n");
    return Exit::fine;
}

int back_up(const CommandLine& line) {
    bool wrong = false;
    const auto source = open_source(line, Access::read, wrong);
    if (!source) return refused(source.error(), wrong);
    std::error_code no_such;
    const auto to = std::filesystem::absolute(line.words[0], no_such).lexically_normal();
    if (no_such || !to.has_filename())
        return fail(Exit::wrong_use, message("cli.bad_target").with("found", shown_text(line.words[0])));
    if (const auto done = (*source)->back_up(to.string()); !done) return fail_with(done.error());
    json::object told{{"file", to.string()}};
    if (line.has("--journal")) {
        const auto copy = journal_source(to.string(), Access::read);
        if (!copy) return fail_with(copy.error());
        const auto verified = (*copy)->verify();
        if (!verified) return fail_with(verified.error());
        if (!yes_in(*verified, "sound")) {
            // The copy is true to the journal, so it is the journal that must be looked at.
            if (line.has("--json"))
                print_json(*verified);
            else
                tell(**copy, *verified);
            return Exit::found_wrong;
        }
        told["entries"] = number_in(*verified, "entries");
    }
    if (line.has("--json"))
        print_json(told);
    else if (line.has("--journal"))
        print(fmt::format("The copy {} is whole and sound up to entry {}.\n", to.string(), number_in(told, "entries")));
    else
        print(
            fmt::format("The station has written the copy {} and checked that it is whole. crimpgate verify --journal "
                        "reads it entry by entry.\n",
                        to.string()));
    return Exit::fine;
}

}  // namespace crimpgate::cli
