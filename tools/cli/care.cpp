// verify, rebuild-views and back-up: the care of a journal.
#include <algorithm>
#include <filesystem>

#include <fmt/format.h>
#include <boost/json.hpp>

#include "specs/shown_text.h"
#include "station/daemon/lost_end.h"
#include "station/journal/journal.h"
#include "station/json/canonical.h"
#include "station/json/reflect.h"
#include "station/words/catalogue.h"
#include "tools/cli/commands.h"
#include "tools/cli/files.h"
#include "tools/cli/record_source.h"
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

// What the signatures say, for whoever holds this record against one that was kept elsewhere.
void tell_signatures(const Verification& v) {
    for (std::size_t i = 0; i < v.keys.size(); ++i)
        print(fmt::format("{} {}\n", i + 1 == v.keys.size() ? "Key in force:" : "Earlier key: ", v.keys[i]));
    if (v.keys.empty()) print("It was never signed: nothing but its own word stands for it.\n");
    if (v.keys_without_hand_over > 0)
        print(
            fmt::format("{} of these keys came WITHOUT the word of the key before it: what stands before it is not "
                        "under the newer one.\n",
                        v.keys_without_hand_over));
    print(fmt::format("{} checkpoints and {} countersignatures are good; {} of {} entries are under a signature.\n",
                      v.checkpoints, v.countersignatures, v.signed_size, v.entries));
    if (v.outside > 0)
        print(fmt::format("It extends {} that {} given from outside.\n",
                          v.outside == 1 ? std::string("the checkpoint") : fmt::format("the {} checkpoints", v.outside),
                          v.outside == 1 ? "was" : "were"));
}

// Where the record went on after its signed end was lost (station/daemon/lost_end.h); false when that is not true.
bool tell_losses(const Journal& journal) {
    const auto losses = told_losses(journal);
    if (!losses) {
        print("NOT SOUND. " + say(losses.error()) + "\n");
        return false;
    }
    for (const auto& loss : *losses)
        print(fmt::format(
            "ITS END WAS LOST ONCE: {} entries had been signed, and it went on from entry {} with a new key "
            "({} UTC, {}): {}\n",
            loss.size, loss.seq, short_time(loss.time), shown_text(loss.who), shown_text(loss.reason)));
    return true;
}

// How fast the entries, their tree and the signatures were read; the tables for search are not in it.
std::string speed(const Verification& v) {
    if (v.entries_us <= 0) return {};
    return fmt::format("{:.1f} MB of entries in {:.2f} s, {:.0f} MB/s\n", static_cast<double>(v.bytes) / 1e6,
                       static_cast<double>(v.entries_us) / 1e6,
                       static_cast<double>(v.bytes) / static_cast<double>(v.entries_us));
}

// Files with commas between them.
Result<std::vector<std::string>> notes_in(const std::string& files) {
    std::vector<std::string> notes;
    for (std::size_t from = 0; from < files.size();) {
        const auto to = std::min(files.find(',', from), files.size());
        auto text = read_file(files.substr(from, to - from));
        if (!text) return refuse(std::move(text.error()));
        notes.push_back(std::move(*text));
        from = to + 1;
    }
    return notes;
}

json::object as_json(const Verification& v) {
    json::object out{{"sound", v.sound()}, {"entries", v.entries}};
    if (v.damage) {
        auto damage = reflect::write(*v.damage).as_object();
        damage["words"] = say(*v.damage);
        out["damage"] = std::move(damage);
        out["damaged_seq"] = v.damaged_seq;
    }
    json::array keys;
    for (const auto& key : v.keys)
        keys.push_back(json::string(key));
    out["keys"] = std::move(keys);
    out["keys_without_hand_over"] = v.keys_without_hand_over;
    out["checkpoints"] = v.checkpoints;
    out["countersignatures"] = v.countersignatures;
    out["signed_size"] = v.signed_size;
    out["outside"] = v.outside;
    out["root"] = to_base64(v.root);
    out["bytes"] = v.bytes;
    out["entries_us"] = v.entries_us;
    return out;
}

// A journal's file, held against a key and checkpoints from elsewhere where they are given.
int verify_journal(const CommandLine& line) {
    VerifyOptions options;
    const auto key = shop_key(line);
    if (!key) return fail(key.error().code == "cli.no_file" ? Exit::cannot : Exit::wrong_use, key.error());
    if (*key) options.trusted_key = (*key)->text();
    auto notes = notes_in(line.value("--checkpoint"));
    if (!notes) return fail(Exit::cannot, notes.error());
    options.checkpoints = std::move(*notes);
    const auto source = journal_source(line.value("--journal"), Access::read);
    if (!source) return fail_with(source.error());
    JournalOptions opening;
    opening.access = JournalAccess::read;
    const auto journal = Journal::open(line.value("--journal"), opening);
    if (!journal) return fail_with(journal.error());
    const auto verified = journal->verify(options);
    if (!verified) return fail_with(verified.error());
    const auto told = as_json(*verified);
    if (line.has("--json")) {
        print_json(told);
        return verified->sound() ? Exit::fine : Exit::found_wrong;
    }
    int how = tell(**source, told);
    if (verified->sound()) tell_signatures(*verified);
    if (verified->sound() && !tell_losses(*journal)) how = Exit::found_wrong;
    print(speed(*verified));
    return how;
}

}  // namespace

int verify(const CommandLine& line) {
    if (line.has("--journal") && !line.has("--station") && !line.has("--person") && !line.has("--pin-file"))
        return verify_journal(line);
    for (const std::string_view option : {"--key", "--key-file", "--checkpoint"})
        if (line.has(option)) return fail(Exit::wrong_use, message("cli.only_with_journal").with("option", option));
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
