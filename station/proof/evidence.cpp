#include "station/proof/evidence.h"

#include <algorithm>

#include <boost/json.hpp>

#include "station/json/canonical.h"
#include "station/json/utc_text.h"
#include "station/proof/key_handover.h"
#include "station/proof/merkle.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

json::array texts(const std::vector<std::string>& from) {
    json::array out;
    for (const auto& text : from)
        out.emplace_back(text);
    return out;
}

// The members of one object, each asked for once; the first that is not as it should be is remembered by name.
class Members {
  public:
    Members(const json::object& object, std::size_t count) : object_(object) {
        if (object.size() != count) wrong_ = "members";
    }
    void text(const char* name, std::string& place) {
        const auto* value = object_.if_contains(name);
        if (value && value->is_string())
            place = value->get_string();
        else
            fail(name);
    }
    void number(const char* name, std::int64_t& place) {
        const auto* value = object_.if_contains(name);
        if (value && value->is_int64())
            place = value->get_int64();
        else
            fail(name);
    }
    void texts(const char* name, std::vector<std::string>& place) {
        const json::array* values = array(name);
        if (!values) return;
        for (const auto& value : *values) {
            if (!value.is_string()) return fail(name);
            place.emplace_back(value.get_string());
        }
    }
    const json::array* array(const char* name) {
        const auto* value = object_.if_contains(name);
        if (value && value->is_array()) return &value->get_array();
        fail(name);
        return nullptr;
    }
    void fail(const char* name) {
        if (wrong_.empty()) wrong_ = name;
    }
    const std::string& wrong() const { return wrong_; }

  private:
    const json::object& object_;
    std::string wrong_;
};

tl::unexpected<Message> malformed(std::string_view why) {
    return refuse(message("evidence.malformed").with("why", why));
}

Result<EvidenceEntry> read_one(const json::value& value) {
    if (!value.is_object()) return malformed("entries");
    EvidenceEntry entry;
    Members members(value.get_object(), 3);
    members.number("seq", entry.seq);
    members.text("bytes", entry.bytes);
    std::vector<std::string> hashes;
    members.texts("proof", hashes);
    for (const auto& text : hashes) {
        const auto hash = hash_from_base64(text);
        if (!hash) {
            members.fail("proof");
            break;
        }
        entry.proof.push_back(*hash);
    }
    if (!members.wrong().empty()) return malformed(members.wrong());
    return entry;
}

// From the trusted key to the file's; hand-overs from before the trusted key are passed over.
Result<VerifierKey> reach_key(const Evidence& evidence, const VerifierKey& trusted, std::size_t& steps) {
    const auto wanted = parse_verifier_key(evidence.key);
    if (!wanted) return wanted;
    VerifierKey key = trusted;
    for (const auto& note : evidence.handovers) {
        if (key == *wanted) break;
        auto next = open_hand_over(note, key);
        if (!next && next.error().code == "handover.unsigned") continue;
        if (!next) return refuse(std::move(next.error()));
        key = std::move(next->next);
        ++steps;
    }
    if (key != *wanted)
        return refuse(message("evidence.other_key").with("found", wanted->text()).with("trusted", trusted.text()));
    return key;
}

std::optional<Message> check_entry(const EvidenceEntry& entry, const Checkpoint& checkpoint) {
    const std::string seq = std::to_string(entry.seq);
    if (entry.seq > checkpoint.size)
        return message("evidence.beyond").with("seq", seq).with("size", std::to_string(checkpoint.size));
    // The leaf's hash comes from the bytes, the size from the signed checkpoint: see merkle.h.
    if (!verify_inclusion(entry.seq - 1, checkpoint.size, leaf_hash(entry.bytes), entry.proof, checkpoint.root))
        return message("evidence.entry_changed").with("seq", seq);
    const auto object = parse_strict_object(entry.bytes);
    if (!object) return message("evidence.entry_form").with("seq", seq).with("why", object.error().code);
    if (canonical(*object) != entry.bytes)
        return message("evidence.entry_form").with("seq", seq).with("why", "entry.not_canonical");
    const auto* number = object->if_contains("seq");
    if (!number || !number->is_int64() || number->get_int64() != entry.seq)
        return message("evidence.entry_number").with("seq", seq);
    return std::nullopt;
}

bool names(const EvidenceEntry& entry, const std::string& serial) {
    return entry.bytes.find(json::serialize(json::value(serial))) != std::string::npos;
}

std::string time_of(const Signer& signer) {
    return utc_text(*signer.unix_seconds * 1000);
}

constexpr std::size_t serials_named = 8;

std::string some_of(const std::vector<std::string>& serials) {
    std::string out;
    for (std::size_t i = 0; i < std::min(serials.size(), serials_named); ++i)
        out += (i == 0 ? "" : ", ") + serials[i];
    return serials.size() > serials_named ? out + ", ..." : out;
}

void say_what_is_proved(const Evidence& evidence, std::size_t steps, EvidenceCheck& check) {
    const std::string size = std::to_string(check.checkpoint.size);
    if (steps > 0)
        check.proved.push_back(
            message("evidence.proved.handed_over").with("name", evidence.name).with("count", std::to_string(steps)));
    check.proved.push_back(message("evidence.proved.signed").with("name", evidence.name).with("size", size));
    check.proved.push_back(
        message("evidence.proved.entries").with("count", std::to_string(evidence.entries.size())).with("size", size));
    // Whoever holds one hose looks for its number first.
    if (!evidence.serials.empty())
        check.proved.push_back(message("evidence.proved.about")
                                   .with("count", std::to_string(evidence.serials.size()))
                                   .with("serials", some_of(evidence.serials)));
    const Signer* earliest = nullptr;
    for (const auto& signer : check.countersigners) {
        check.proved.push_back(message("evidence.proved.countersigned")
                                   .with("name", signer.key.name)
                                   .with("size", size)
                                   .with("time", time_of(signer)));
        if (!earliest || *signer.unix_seconds < *earliest->unix_seconds) earliest = &signer;
    }
    check.not_proved.push_back(message("evidence.not.honest"));
    check.not_proved.push_back(message("evidence.not.this_hose"));
    check.not_proved.push_back(message("evidence.not.complete"));
    check.not_proved.push_back(earliest ? message("evidence.not.time_before").with("time", time_of(*earliest))
                                        : message("evidence.not.time"));
}

}  // namespace

std::string write_evidence(const Evidence& evidence) {
    json::array entries;
    for (const auto& entry : evidence.entries) {
        json::array proof;
        for (const Hash& hash : entry.proof)
            proof.emplace_back(to_base64(hash));
        entries.push_back(json::object{{"seq", entry.seq}, {"bytes", entry.bytes}, {"proof", std::move(proof)}});
    }
    return canonical(json::object{{"format", evidence_format},
                                  {"name", evidence.name},
                                  {"key", evidence.key},
                                  {"handovers", texts(evidence.handovers)},
                                  {"serials", texts(evidence.serials)},
                                  {"checkpoint", evidence.checkpoint},
                                  {"entries", std::move(entries)}});
}

Result<Evidence> read_evidence(std::string_view bytes) {
    const auto object = parse_strict_object(bytes);
    if (!object) return refuse(object.error());
    if (canonical(*object) != bytes) return malformed("canonical");
    Evidence evidence;
    std::string format;
    Members members(*object, 7);
    members.text("format", format);
    if (format != evidence_format) return malformed("format");
    members.text("name", evidence.name);
    members.text("key", evidence.key);
    members.texts("handovers", evidence.handovers);
    members.texts("serials", evidence.serials);
    members.text("checkpoint", evidence.checkpoint);
    const json::array* entries = members.array("entries");
    if (!members.wrong().empty()) return malformed(members.wrong());
    for (const auto& value : *entries) {
        auto entry = read_one(value);
        if (!entry) return refuse(std::move(entry.error()));
        if (entry->seq < 1 || (!evidence.entries.empty() && entry->seq <= evidence.entries.back().seq))
            return malformed("order");
        evidence.entries.push_back(std::move(*entry));
    }
    return evidence;
}

EvidenceCheck check_evidence(const Evidence& evidence, const TrustedKeys& trusted) {
    EvidenceCheck check;
    std::size_t steps = 0;
    const auto key = reach_key(evidence, trusted.station, steps);
    if (!key) {
        check.failed = key.error();
        return check;
    }
    if (key->name != evidence.name) {
        check.failed = message("checkpoint.other_name").with("name", evidence.name).with("wanted", key->name);
        return check;
    }
    // Only a countersignature bounds the time; a plain signature by a witness's key would not say when.
    std::vector<VerifierKey> witnesses;
    std::copy_if(trusted.witnesses.begin(), trusted.witnesses.end(), std::back_inserter(witnesses),
                 [](const VerifierKey& witness) { return witness.type == KeyType::cosignature; });
    auto opened = open_checkpoint(evidence.checkpoint, *key, witnesses);
    if (!opened) {
        check.failed = std::move(opened.error());
        return check;
    }
    check.checkpoint = std::move(opened->checkpoint);
    check.countersigners = std::move(opened->countersigners);
    if (evidence.entries.empty()) check.failed = message("evidence.no_entries");
    for (const auto& entry : evidence.entries) {
        check.failed = check_entry(entry, check.checkpoint);
        if (!check.failed) continue;
        check.failed_seq = entry.seq;
        return check;
    }
    for (const auto& serial : evidence.serials) {
        if (check.failed) break;
        if (std::none_of(evidence.entries.begin(), evidence.entries.end(),
                         [&](const EvidenceEntry& entry) { return names(entry, serial); }))
            check.failed = message("evidence.serial_missing").with("serial", serial);
    }
    if (!check.failed) say_what_is_proved(evidence, steps, check);
    return check;
}

}  // namespace crimpgate
