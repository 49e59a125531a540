// crimpgate verify FILE: what a certificate, an evidence file, a proof file or a tag's code proves, with nothing but
// the shop's public key. No journal, no station, no network.
//
// Without a key the file is held against the key inside it: that shows damage, but says nothing of who signed, so it
// never ends with 0.
#include <boost/json.hpp>

#include "reports/pdf_attached.h"
#include "specs/length.h"
#include "specs/pressure.h"
#include "specs/shown_text.h"
#include "station/http/page_words.h"
#include "station/json/utc_text.h"
#include "station/proof/evidence.h"
#include "station/proof/key_handover.h"
#include "station/proof/paper_seal.h"
#include "station/proof/tag_statement.h"
#include "station/proof/tlog_proof.h"
#include "tools/cli/commands.h"
#include "tools/cli/files.h"
#include "tools/cli/record_source.h"

namespace crimpgate::cli {

namespace {

namespace json = boost::json;

// What came out, in the order in which it is told.
struct Found {
    std::vector<Message> proved;
    std::vector<Message> not_proved;
    std::optional<Message> failed;
    bool trusted = false;  // held against a key that was given
};

struct Keys {
    std::optional<VerifierKey> station;
    std::vector<VerifierKey> witnesses;
};

// Several keys stand behind one option with commas between: no key holds one.
Result<std::vector<VerifierKey>> keys_of_list(const std::string& text) {
    std::vector<VerifierKey> keys;
    for (std::size_t from = 0; from <= text.size();) {
        const auto to = std::min(text.find(',', from), text.size());
        auto key = key_of(text.substr(from, to - from));
        if (!key) return refuse(std::move(key.error()));
        if (key->type != KeyType::cosignature) return refuse(message("verify.no_witness").with("name", key->name));
        keys.push_back(std::move(*key));
        from = to + 1;
    }
    return keys;
}

Result<Keys> keys_in(const CommandLine& line) {
    Keys keys;
    auto station = shop_key(line);
    if (!station) return refuse(std::move(station.error()));
    keys.station = std::move(*station);
    if (line.has("--witness")) {
        auto witnesses = keys_of_list(line.value("--witness"));
        if (!witnesses) return refuse(std::move(witnesses.error()));
        keys.witnesses = std::move(*witnesses);
    }
    return keys;
}

void take(const EvidenceCheck& check, Found& found) {
    found.failed = check.failed;
    found.proved.insert(found.proved.end(), check.proved.begin(), check.proved.end());
    found.not_proved = check.not_proved;
}

// The trusted key, or the file's own; nothing when neither can be had.
std::optional<VerifierKey> key_to_use(const Keys& keys, const Evidence& evidence, Found& found) {
    found.trusted = keys.station.has_value();
    if (keys.station) return keys.station;
    auto own = parse_verifier_key(evidence.key);
    if (own) return std::move(*own);
    found.failed = std::move(own.error());
    return std::nullopt;
}

void check_json(const std::string& bytes, const Keys& keys, Found& found) {
    const auto evidence = read_evidence(bytes);
    if (!evidence) {
        found.failed = evidence.error();
        return;
    }
    const auto key = key_to_use(keys, *evidence, found);
    if (!key) return;
    take(check_evidence(*evidence, {*key, keys.witnesses}), found);
    if (!found.trusted)
        found.not_proved.insert(found.not_proved.begin(), message("verify.no_key").with("key", key->text()));
}

// The seal first: nothing inside a changed file is worth a word. But the hand-overs, which prove themselves, are
// inside.
void check_pdf(const std::string& bytes, const Keys& keys, Found& found) {
    if (!has_seal(bytes)) {
        found.failed = message("seal.none");
        return;
    }
    auto record = attached_file(bytes, "record.json");
    auto evidence = record ? read_evidence(*record) : Result<Evidence>(refuse(record.error()));
    std::vector<VerifierKey> sealers;
    found.trusted = keys.station.has_value();
    if (keys.station) sealers.push_back(*keys.station);
    if (evidence) {
        if (!keys.station)
            if (auto own = parse_verifier_key(evidence->key)) sealers.push_back(std::move(*own));
        for (const auto& note : evidence->handovers) {
            if (sealers.empty()) break;
            if (auto next = open_hand_over(note, sealers.back())) sealers.push_back(std::move(next->next));
        }
    }
    const auto seal = check_seal(bytes, sealers);
    if (!seal) {
        found.failed = seal.error();
        return;
    }
    found.proved.push_back(message("verify.sealed").with("name", seal->name).with("number", seal->number));
    if (!evidence) {
        found.failed = evidence.error();
        return;
    }
    check_json(*record, keys, found);
}

void check_proof(const std::string& bytes, const std::string& record, const Keys& keys, Found& found) {
    const auto proof = read_tlog_proof(bytes);
    if (!proof) {
        found.failed = proof.error();
        return;
    }
    if (!keys.station) {
        found.failed = message("verify.key_needed");
        return;
    }
    found.trusted = true;
    const auto checkpoint = verify_tlog_proof(*proof, record, *keys.station, keys.witnesses);
    if (!checkpoint) {
        found.failed = checkpoint.error();
        return;
    }
    const std::string size = std::to_string(checkpoint->checkpoint.size);
    found.proved.push_back(message("evidence.proved.signed").with("name", keys.station->name).with("size", size));
    found.proved.push_back(message("verify.entry").with("seq", std::to_string(proof->index + 1)).with("size", size));
    std::string earliest;
    for (const auto& signer : checkpoint->countersigners) {
        const std::string time = utc_text(*signer.unix_seconds * 1000);
        if (earliest.empty() || time < earliest) earliest = time;
        found.proved.push_back(message("evidence.proved.countersigned")
                                   .with("name", signer.key.name)
                                   .with("size", size)
                                   .with("time", time));
    }
    found.not_proved = {
        message("evidence.not.honest"), message("evidence.not.this_hose"), message("evidence.not.complete"),
        earliest.empty() ? message("evidence.not.time") : message("evidence.not.time_before").with("time", earliest)};
}

std::string date_text(std::int64_t yyyymmdd) {
    const std::string text = std::to_string(yyyymmdd);
    if (text.size() != 8) return text;
    return text.substr(0, 4) + "-" + text.substr(4, 2) + "-" + text.substr(6);
}

// Exact, without needless zeros.
std::string bar_text(std::int64_t kpa) {
    return Pressure::from_kpa(kpa).to_bar_text(kpa % 100 == 0 ? 0 : kpa % 10 == 0 ? 1 : 2);
}

void check_code(const std::string& code, const Keys& keys, Found& found) {
    const auto bytes = tag_bytes(code);
    if (!bytes) {
        found.failed = bytes.error();
        return;
    }
    if (!keys.station) {
        found.failed = message("verify.key_needed");
        return;
    }
    found.trusted = true;
    const auto tag = verify_tag(*bytes, keys.station->name, keys.station->key);
    if (!tag) {
        found.failed = tag.error();
        return;
    }
    found.proved.push_back(message("verify.tag.issued").with("name", keys.station->name));
    found.proved.push_back((tag->on_concession ? message("verify.tag.conceded") : message("verify.tag.passed"))
                               .with("serial", shown_text(tag->serial))
                               .with("order", shown_text(tag->order))
                               .with("date", date_text(tag->date))
                               .with("pressure", bar_text(tag->pressure_kpa))
                               .with("margin", Length::from_um(tag->margin_um).to_mm_text(3))
                               .with("station", shown_text(tag->station)));
    found.not_proved = {message("verify.tag.copied"), message("evidence.not.honest")};
}

bool ends_with_tail(const std::string& file, std::string_view tail) {
    return file.size() > tail.size() && file.ends_with(tail);
}

int tell(const std::string& what, const Found& found, std::string_view language, bool as_json) {
    const bool good = !found.failed && found.trusted;
    const auto words = [&](const Message& m) { return say_in(language, m); };
    if (as_json) {
        json::object out{{"file", what}, {"good", good}};
        const auto list = [&](const std::vector<Message>& messages) {
            json::array told;
            for (const auto& m : messages)
                told.push_back(json::object{{"code", m.code}, {"words", words(m)}});
            return told;
        };
        if (found.failed) out["failed"] = json::object{{"code", found.failed->code}, {"words", words(*found.failed)}};
        out["proved"] = list(found.failed ? std::vector<Message>{} : found.proved);
        out["not_proved"] = list(found.not_proved);
        print_json(out);
        return good ? Exit::fine : Exit::found_wrong;
    }
    if (found.failed) {
        print(words(message("verify.failed").with("file", shown_text(what))) + "\n  " + words(*found.failed) + "\n");
        return Exit::found_wrong;
    }
    print(words((found.trusted ? message("verify.good") : message("verify.unknown")).with("file", shown_text(what))) +
          "\n");
    for (const auto* list : {&found.proved, &found.not_proved})
        for (const auto& m : *list)
            print("  " + std::string(list == &found.proved ? "+ " : "- ") + words(m) + "\n");
    return good ? Exit::fine : Exit::found_wrong;
}

}  // namespace

int verify_file(const CommandLine& line) {
    const std::string language = line.has("--language") ? line.value("--language") : "en";
    if (language != "en" && language != "de")
        return fail(Exit::wrong_use, message("verify.bad_language").with("found", shown_text(language)));
    const auto keys = keys_in(line);
    if (!keys) return fail(keys.error().code == "cli.no_file" ? Exit::cannot : Exit::wrong_use, keys.error());
    const std::string& what = line.words[0];
    Found found;
    if (what.starts_with(tag_code_prefix) || what.starts_with("HTTPS://")) {
        check_code(what, *keys, found);
        return tell(what.substr(0, 24), found, language, line.has("--json"));
    }
    const auto bytes = read_file(what);
    if (!bytes) return fail(Exit::cannot, bytes.error());
    if (bytes->starts_with("%PDF-")) {
        check_pdf(*bytes, *keys, found);
    } else if (bytes->starts_with("c2sp.org/tlog-proof@")) {
        constexpr std::string_view tail = ".tlog-proof";
        std::string record = line.value("--record");
        if (record.empty() && ends_with_tail(what, tail)) record = what.substr(0, what.size() - tail.size());
        if (record.empty()) return fail(Exit::wrong_use, message("verify.record_needed"));
        const auto of = read_file(record);
        if (!of) return fail(Exit::cannot, of.error());
        check_proof(*bytes, *of, *keys, found);
    } else {
        check_json(*bytes, *keys, found);
    }
    return tell(what, found, language, line.has("--json"));
}

}  // namespace crimpgate::cli
