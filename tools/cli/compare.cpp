// compare OLD NEW: whether one checkpoint extends the other, or the shop showed two pasts.
#include <algorithm>

#include <fmt/format.h>
#include <boost/json.hpp>

#include "specs/shown_text.h"
#include "station/json/utc_text.h"
#include "station/proof/consistency.h"
#include "station/proof/key_handover.h"
#include "station/words/catalogue.h"
#include "tools/cli/commands.h"
#include "tools/cli/files.h"
#include "tools/cli/record_source.h"

namespace crimpgate::cli {

namespace {

struct Side {
    std::string file;
    SignedCheckpoint opened;
};

// Signed by the given key, or by one that it led to.
Result<Side> side_of(const std::string& file, const std::vector<VerifierKey>& keys,
                     const std::vector<VerifierKey>& witnesses) {
    const auto text = read_file(file);
    if (!text) return refuse(text.error());
    Result<SignedCheckpoint> opened = refuse(message("checkpoint.unsigned"));
    for (const auto& key : keys)
        if (opened = open_checkpoint(*text, key, witnesses); opened) return Side{file, std::move(*opened)};
    return refuse(std::move(opened.error()));
}

Result<std::vector<VerifierKey>> witnesses_in(const CommandLine& line) {
    std::vector<VerifierKey> keys;
    const std::string text = line.value("--witness");
    for (std::size_t from = 0; from < text.size();) {
        const auto to = std::min(text.find(',', from), text.size());
        auto key = key_of(text.substr(from, to - from));
        if (!key) return refuse(std::move(key.error()));
        if (key->type != KeyType::cosignature) return refuse(message("verify.no_witness").with("name", key->name));
        keys.push_back(std::move(*key));
        from = to + 1;
    }
    return keys;
}

// The proof's text: the file's, the source's, or none where none is needed.
Result<std::string> proof_text(const CommandLine& line, RecordSource* source, const Checkpoint& older,
                               const Checkpoint& newer) {
    if (line.has("--proof")) return read_file(line.value("--proof"));
    if (older.size < 1 || newer.size <= older.size) return std::string();
    if (source != nullptr) return source->consistency(older.size, newer.size);
    return refuse(message("compare.proof_needed")
                      .with("from", std::to_string(older.size))
                      .with("to", std::to_string(newer.size)));
}

// What a journal that holds the newer tree says of the older one: two signed pasts are proved when it holds the one and
// not the other.
Result<std::optional<Message>> by_journal(RecordSource& source, const Checkpoint& older, const Checkpoint& newer) {
    const auto at_new = source.root(newer.size);
    if (!at_new) return refuse(at_new.error());
    const auto at_old = source.root(older.size);
    if (!at_old) return refuse(at_old.error());
    const auto sizes = [&](Message m) {
        return std::move(m).with("old", std::to_string(older.size)).with("new", std::to_string(newer.size));
    };
    const bool holds_new = *at_new && **at_new == newer.root;
    const bool holds_old = *at_old && **at_old == older.root;
    if (holds_new && *at_old && !holds_old) return std::optional(sizes(message("compare.two_pasts")));
    if (!holds_new && holds_old) return std::optional(sizes(message("compare.journal_without_new")));
    if (!holds_new && (*at_old || *at_new)) return std::optional(sizes(message("compare.other_journal")));
    return std::optional<Message>();
}

void tell_signers(const Side& side) {
    for (const auto& signer : side.opened.countersigners)
        print("  " +
              say(message("evidence.proved.countersigned")
                      .with("name", signer.key.name)
                      .with("size", std::to_string(side.opened.checkpoint.size))
                      .with("time", utc_text(signer.unix_seconds.value_or(0) * 1000))) +
              "\n");
}

int not_proved(const Side& older, const Side& newer, const Message& why) {
    print(say(message("compare.not").with("old", shown_text(older.file)).with("new", shown_text(newer.file))) + "\n  " +
          say(why) + "\n");
    return Exit::found_wrong;
}

}  // namespace

int compare(const CommandLine& line) {
    const auto key = shop_key(line);
    if (!key) return fail(key.error().code == "cli.no_file" ? Exit::cannot : Exit::wrong_use, key.error());
    if (!*key) return fail(Exit::wrong_use, message("verify.key_needed"));
    const auto witnesses = witnesses_in(line);
    if (!witnesses) return fail(Exit::wrong_use, witnesses.error());
    std::unique_ptr<RecordSource> source;
    if (line.has("--journal") || line.has("--station")) {
        if (line.has("--proof")) return fail(Exit::wrong_use, message("compare.two_proofs"));
        bool wrong = false;
        auto opened = open_record(line, wrong);
        if (!opened) return wrong ? fail(Exit::wrong_use, opened.error()) : fail_with(opened.error());
        source = std::move(*opened);
    }
    // Hand-overs prove themselves, whoever brings them.
    std::vector<VerifierKey> keys{**key};
    std::vector<std::string> notes;
    if (line.has("--handovers")) {
        const auto text = read_file(line.value("--handovers"));
        if (!text) return fail(Exit::cannot, text.error());
        notes = hand_overs_in(*text);
    } else if (source) {
        const auto known = source->keys();
        if (!known) return fail_with(known.error());
        notes = hand_overs_in(*known);
    }
    for (const auto& note : notes)
        if (auto next = open_hand_over(note, keys.back())) keys.push_back(std::move(next->next));

    const auto older = side_of(line.words[0], keys, *witnesses);
    if (!older) return fail(older.error().code == "cli.no_file" ? Exit::cannot : Exit::found_wrong, older.error());
    const auto newer = side_of(line.words[1], keys, *witnesses);
    if (!newer) return fail(newer.error().code == "cli.no_file" ? Exit::cannot : Exit::found_wrong, newer.error());
    const Checkpoint& before = older->opened.checkpoint;
    const Checkpoint& after = newer->opened.checkpoint;
    if (source && before.name == after.name && before.size >= 1 && after.size > before.size) {
        const auto found = by_journal(*source, before, after);
        if (!found) return fail_with(found.error());
        if (*found) return not_proved(*older, *newer, **found);
    }
    const auto proof = proof_text(line, source.get(), before, after);
    if (!proof) {
        const auto& code = proof.error().code;
        return fail(code == "compare.proof_needed" ? Exit::wrong_use : Exit::cannot, proof.error());
    }
    const auto shown = proof->empty() ? Result<ConsistencyProof>(ConsistencyProof{}) : read_consistency(*proof);
    if (!shown) return not_proved(*older, *newer, shown.error());
    if (const auto extends = verify_extends(before, after, *shown); !extends)
        return not_proved(*older, *newer, extends.error());
    const auto said = [&](Message m) {
        return say(std::move(m)
                       .with("old", shown_text(older->file))
                       .with("new", shown_text(newer->file))
                       .with("name", before.name)
                       .with("size", std::to_string(before.size))
                       .with("to", std::to_string(after.size)));
    };
    print((after.size == before.size
               ? said(message("compare.same"))
               : said(message("compare.extends").with("more", std::to_string(after.size - before.size)))) +
          "\n");
    tell_signers(*older);
    tell_signers(*newer);
    return Exit::fine;
}

}  // namespace crimpgate::cli
