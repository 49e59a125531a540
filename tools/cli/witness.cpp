// witness-key, countersign and compare: what somebody outside the shop does so that the shop cannot show two pasts.
// No journal and no station is needed for the first two.
#include <chrono>
#include <cstdio>
#include <filesystem>

#include <fmt/format.h>

#include "specs/shown_text.h"
#include "station/json/utc_text.h"
#include "station/proof/consistency.h"
#include "station/proof/key_handover.h"
#include "station/proof/witness_key.h"
#include "tools/cli/commands.h"
#include "tools/cli/files.h"
#include "tools/cli/record_source.h"
#include "tools/cli/secret_file.h"

namespace crimpgate::cli {

namespace {

bool is_there(const std::string& file) {
    std::error_code unimportant;
    return std::filesystem::exists(std::filesystem::symlink_status(file, unimportant));
}

// Opened under the first of the keys that signed it; what the last key says when none did.
Result<SignedCheckpoint> opened_under(const std::string& note, const std::vector<VerifierKey>& keys,
                                      const std::vector<VerifierKey>& witnesses = {}) {
    Result<SignedCheckpoint> opened = refuse(message("checkpoint.unsigned"));
    for (const auto& key : keys) {
        opened = open_checkpoint(note, key, witnesses);
        if (opened) return opened;
    }
    return opened;
}

// What a witness keeps beside its key, for each log: the key that it trusts and the note that it signed last.
struct Memory {
    std::string log_file, last_file;

    Memory(const std::string& key_file, const std::string& log_name) {
        const Hash hash = sha256(log_name);
        const std::string base = key_file + "." + to_hex(as_text(hash)).substr(0, 8);
        log_file = base + ".log";
        last_file = base + ".last";
    }
    // Empty when there is none.
    static Result<std::string> text(const std::string& file) {
        if (!is_there(file)) return std::string();
        return read_file(file);
    }
};

// The log's key that is trusted from now on, and the one that signed what was countersigned last.
struct LogKeys {
    VerifierKey now, before;
};

Result<std::vector<std::string>> given_hand_overs(const CommandLine& line) {
    if (!line.has("--handovers")) return std::vector<std::string>();
    const auto text = read_file(line.value("--handovers"));
    if (!text) return refuse(text.error());
    return hand_overs_in(*text);
}

// Every key that the trusted one leads to; notes of before it are passed over.
std::vector<VerifierKey> chain_from(const VerifierKey& first, const std::vector<std::string>& notes) {
    std::vector<VerifierKey> keys{first};
    for (const auto& note : notes)
        if (auto next = open_hand_over(note, keys.back())) keys.push_back(std::move(next->next));
    return keys;
}

// The key that signed the checkpoint: the one that is given or remembered, or one that it handed over to.
Result<LogKeys> log_keys(const CommandLine& line, const Memory& memory, const std::string& checkpoint) {
    const auto kept = Memory::text(memory.log_file);
    if (!kept) return refuse(kept.error());
    std::optional<VerifierKey> before;
    if (!kept->empty()) {
        auto key = key_of(*kept);
        if (!key) return refuse(std::move(key.error()));
        before = std::move(*key);
    }
    if (line.has("--log")) {
        auto given = key_of(line.value("--log"));
        if (!given) return refuse(std::move(given.error()));
        if (given->type != KeyType::ed25519) return refuse(message("verify.witness_as_key").with("name", given->name));
        if (!before) before = *given;
    }
    if (!before) return refuse(message("countersign.log_needed"));
    const auto notes = given_hand_overs(line);
    if (!notes) return refuse(notes.error());
    for (const auto& key : chain_from(*before, *notes))
        if (open_checkpoint(checkpoint, key)) return LogKeys{key, *before};
    const auto why = open_checkpoint(checkpoint, *before);
    if (why.error().code == "checkpoint.unsigned" && notes->empty())
        return refuse(message("countersign.other_key").with("name", before->name).with("key", before->text()));
    return refuse(why.error());
}

// The name that the checkpoint bears; whose it is, its signature tells.
Result<Checkpoint> head_of(const std::string& note) {
    const auto read = parse_note(note);
    if (!read) return refuse(read.error());
    return read_checkpoint(read->text);
}

std::int64_t now_s() {
    return std::chrono::duration_cast<std::chrono::seconds>(std::chrono::system_clock::now().time_since_epoch())
        .count();
}

}  // namespace

int witness_key(const CommandLine& line) {
    const std::string name = line.value("--name");
    if (!is_key_name(name)) return fail(Exit::wrong_use, message("witness.bad_name").with("found", shown_text(name)));
    WitnessSecret secret{name, new_seed()};
    const std::string key = crimpgate::witness_key(secret).verifier().text();
    const auto written = write_secret(line.words.front(), witness_text(secret));
    wipe(secret.seed);
    if (!written) return fail(Exit::cannot, written.error());
    print(key + "\n");
    return Exit::fine;
}

int countersign(const CommandLine& line) {
    const std::string& file = line.words.front();
    const std::string& key_file = line.value("--key");
    if (key_file.empty()) return fail(Exit::wrong_use, message("countersign.key_needed"));
    const auto checkpoint = read_file(file);
    if (!checkpoint) return fail(Exit::cannot, checkpoint.error());
    const auto secret_text = read_secret(key_file);
    if (!secret_text) return fail(Exit::cannot, secret_text.error());
    auto secret = read_witness_text(*secret_text);
    if (!secret) return fail(Exit::cannot, secret.error());
    const SigningKey witness = crimpgate::witness_key(*secret);
    wipe(secret->seed);
    const auto head = head_of(*checkpoint);
    if (!head) return fail(Exit::found_wrong, head.error());

    const Memory memory(key_file, head->name);
    const auto last = Memory::text(memory.last_file);
    if (!last) return fail(Exit::cannot, last.error());
    const auto keys = log_keys(line, memory, *checkpoint);
    if (!keys) {
        const auto& code = keys.error().code;
        const bool wrong_use = code == "countersign.log_needed" || code.starts_with("key.");
        return fail(wrong_use ? Exit::wrong_use : Exit::found_wrong, keys.error());
    }
    std::string proof;
    if (line.has("--proof")) {
        auto read = read_file(line.value("--proof"));
        if (!read) return fail(Exit::cannot, read.error());
        proof = std::move(*read);
    }
    // The one before: what was countersigned last, or for the first time one that the witness has from elsewhere.
    std::optional<Checkpoint> before;
    if (!last->empty()) {
        const auto opened = open_checkpoint(*last, keys->before);
        if (!opened) return fail(Exit::found_wrong, opened.error());
        before = opened->checkpoint;
    }
    if (line.has("--since")) {
        const auto since = read_file(line.value("--since"));
        if (!since) return fail(Exit::cannot, since.error());
        const auto opened = opened_under(*since, {keys->before, keys->now});
        if (!opened) return fail(Exit::found_wrong, opened.error());
        if (before && (before->size != opened->checkpoint.size || before->root != opened->checkpoint.root))
            return fail(Exit::wrong_use, message("countersign.other_since")
                                             .with("size", std::to_string(before->size))
                                             .with("given", std::to_string(opened->checkpoint.size)));
        before = opened->checkpoint;
    }
    if (before && before->size > 0 && before->size < head->size && proof.empty())
        return fail(Exit::wrong_use, message("countersign.proof_needed")
                                         .with("from", std::to_string(before->size))
                                         .with("to", std::to_string(head->size)));
    if (before && last->empty()) {
        const auto shown = proof.empty() ? Result<ConsistencyProof>(ConsistencyProof{}) : read_consistency(proof);
        if (!shown) return fail(Exit::found_wrong, shown.error());
        if (const auto extends = verify_extends(*before, *head, *shown); !extends)
            return fail(Exit::found_wrong, extends.error());
    }
    const auto made = crimpgate::countersign(*checkpoint, keys->now, witness, *last, proof, now_s(), &keys->before);
    if (!made) return fail(Exit::found_wrong, made.error());
    // Remembered before it is given out: a signature that the witness does not know of could be followed by a second
    // past.
    if (const auto kept = write_file(memory.last_file, made->note); !kept) return fail(Exit::cannot, kept.error());
    if (const auto kept = write_file(memory.log_file, keys->now.text() + "\n"); !kept)
        return fail(Exit::cannot, kept.error());
    if (line.has("--to")) {
        if (const auto out = write_file(line.value("--to"), made->note); !out) return fail(Exit::cannot, out.error());
        print(fmt::format("Countersigned as {}: {} entries of {}.\n", witness.verifier().name, head->size, head->name));
    } else {
        print(made->note);
    }
    return Exit::fine;
}

}  // namespace crimpgate::cli
