#include "station/daemon/countersignatures.h"

#include <algorithm>

#include "station/proof/checkpoint.h"

namespace crimpgate {
namespace {

Message of(Message m, const std::string& name, std::int64_t size) {
    return std::move(m).with("name", name).with("size", std::to_string(size));
}

struct Known {
    std::vector<VerifierKey> witnesses, own;
};

Result<Known> known_in(const Journal& journal) {
    Known out;
    const auto keys = station_keys(journal);
    if (!keys) return refuse(keys.error());
    for (const auto& one : *keys)
        if (auto key = parse_verifier_key(one.key)) out.own.push_back(std::move(*key));
    const auto found = witnesses(journal);
    if (!found) return refuse(found.error());
    for (const auto& one : *found)
        if (auto key = parse_verifier_key(one.key)) out.witnesses.push_back(std::move(*key));
    return out;
}

bool by(const NoteSignature& signature, const VerifierKey& key) {
    return signature.name == key.name && signature.id == key.id();
}

// One signature that is not the station's own.
Result<entries::CheckpointCountersigned> one_of(const NoteSignature& signature, const KeptCheckpoint& checkpoint,
                                                const std::string& text, const Known& known) {
    const auto witness = std::find_if(known.witnesses.begin(), known.witnesses.end(),
                                      [&](const VerifierKey& key) { return by(signature, key); });
    if (witness == known.witnesses.end()) {
        const bool named = std::any_of(known.witnesses.begin(), known.witnesses.end(),
                                       [&](const VerifierKey& key) { return key.name == signature.name; });
        return refuse((named ? message("countersignature.other_key") : message("countersignature.unknown"))
                          .with("name", signature.name));
    }
    const auto signer = verify_note_signature(text, signature, *witness);
    if (!signer || !signer->unix_seconds)
        return refuse(of(message("countersignature.bad"), signature.name, checkpoint.size));
    const std::string key = witness->text();
    for (const auto& kept : checkpoint.countersignatures)
        if (kept.key == key) return refuse(of(message("countersignature.twice"), signature.name, checkpoint.size));
    std::string line = signature.line();
    line.pop_back();
    return entries::CheckpointCountersigned{checkpoint.size, key, std::move(line), *signer->unix_seconds};
}

}  // namespace

Result<std::vector<entries::CheckpointCountersigned>> countersignatures_in(const Journal& journal,
                                                                           const std::string& brought,
                                                                           std::optional<std::int64_t> size) {
    SignedNote note;
    // A line alone begins with the dash; no checkpoint's name does, since key names are plain ASCII here.
    const bool whole = !brought.starts_with("\u2014");
    if (whole) {
        auto read = parse_note(brought.ends_with('\n') ? brought : brought + "\n");
        if (!read) return refuse(std::move(read.error()));
        note = std::move(*read);
        const auto head = read_checkpoint(note.text);
        if (!head) return refuse(head.error());
        if (size && *size != head->size)
            return refuse(message("countersignature.other_size")
                              .with("size", std::to_string(*size))
                              .with("found", std::to_string(head->size)));
        size = head->size;
    } else {
        auto read = parse_signature_line(brought);
        if (!read) return refuse(std::move(read.error()));
        note.signatures.push_back(std::move(*read));
        if (!size) return refuse(message("countersignature.size_needed"));
    }
    const auto kept = checkpoint_of_size(journal, *size);
    if (!kept) return refuse(kept.error());
    if (!*kept) return refuse(message("countersignature.no_checkpoint").with("size", std::to_string(*size)));
    const auto as_signed = parse_note((*kept)->note);
    if (!as_signed) return refuse(as_signed.error());
    if (whole && as_signed->text != note.text)
        return refuse(message("countersignature.other_note").with("size", std::to_string(*size)));
    const auto known = known_in(journal);
    if (!known) return refuse(known.error());

    std::vector<entries::CheckpointCountersigned> out;
    std::optional<Message> wrong;
    for (const auto& signature : note.signatures) {
        if (std::any_of(known->own.begin(), known->own.end(), [&](const auto& key) { return by(signature, key); })) {
            if (!whole) return refuse(of(message("countersignature.own"), signature.name, *size));
            continue;
        }
        auto one = one_of(signature, **kept, as_signed->text, *known);
        if (one)
            out.push_back(std::move(*one));
        else if (!wrong || wrong->code == "countersignature.twice")
            wrong = one.error();  // of several, the one that is not merely old news
    }
    if (!out.empty()) return out;
    if (wrong) return refuse(std::move(*wrong));
    return refuse(message("countersignature.none").with("size", std::to_string(*size)));
}

}  // namespace crimpgate
