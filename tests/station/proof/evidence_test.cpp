// The evidence file and a paper's seal: what is proved, and that nothing can be changed unseen.
#include "station/proof/evidence.h"

#include "station/json/canonical.h"
#include "station/proof/key_handover.h"
#include "station/proof/paper_seal.h"
#include "tests/station/proof/proof_kit.h"

using namespace proof_kit;

namespace {

std::string entry_bytes(std::int64_t seq) {
    return canonical(json::object{
        {"seq", seq}, {"type", "assembly.passed"}, {"body", json::object{{"serial", "K10" + std::to_string(seq)}}}});
}

// Twelve entries, ten of them signed, three shown.
struct Sample {
    Sample() {
        for (std::int64_t seq = 1; seq <= 12; ++seq)
            tree.add(entry_bytes(seq));
        evidence.name = station_key().verifier().name;
        evidence.key = station_key().verifier().text();
        evidence.serials = {"K103", "K107"};
        sign(station_key());
        for (const std::int64_t seq : {3, 4, 7})
            evidence.entries.push_back({seq, entry_bytes(seq), inclusion_proof(tree.source(), seq - 1, 10)});
    }
    void sign(const SigningKey& key) { evidence.checkpoint = sign_checkpoint(10, tree.root(0, 10), key).bytes(); }
    EvidenceCheck check() const { return check_evidence(evidence, {station_key().verifier(), {}}); }
    std::string failed() const {
        const auto result = check();
        return result.failed ? result.failed->code : "";
    }

    PlainTree tree;
    Evidence evidence;
};

std::vector<std::string> codes(const std::vector<Message>& messages) {
    std::vector<std::string> out;
    for (const auto& message : messages)
        out.push_back(message.code);
    return out;
}

using Codes = std::vector<std::string>;

}  // namespace

TEST_CASE("an evidence file is read back as it was written, and says what it proves and what not") {
    const Sample sample;
    const std::string bytes = write_evidence(sample.evidence);
    CHECK(bytes.starts_with("{\"checkpoint\":\"crimp.example/station-1\\n10\\n"));
    CHECK(must(read_evidence(bytes)) == sample.evidence);
    const auto check = sample.check();
    REQUIRE(check.good());
    CHECK(check.checkpoint.size == 10);
    CHECK(codes(check.proved) == Codes{"evidence.proved.signed", "evidence.proved.entries", "evidence.proved.about"});
    CHECK(check.proved[1].detail("count") == "3");
    CHECK(check.proved[2].detail("serials") == "K103, K107");
    CHECK(codes(check.not_proved) ==
          Codes{"evidence.not.honest", "evidence.not.this_hose", "evidence.not.complete", "evidence.not.time"});
}

TEST_CASE("R3: no byte of an evidence file can be changed unseen") {
    const Sample sample;
    const std::string bytes = write_evidence(sample.evidence);
    const TrustedKeys trusted{station_key().verifier(), {}};
    for (std::size_t i = 0; i < bytes.size(); ++i) {
        std::string other = bytes;
        other[i] = static_cast<char>(other[i] ^ 1);
        const auto read = read_evidence(other);
        INFO("byte " << i << ": " << bytes.substr(i, 20));
        // What it is about is a claim that only the entries can bear out: "K103" made "K104" is borne out by entry 4.
        const bool still_true = read && read->serials != sample.evidence.serials && read->serials[0] == "K104";
        CHECK((!read || !check_evidence(*read, trusted).good() || still_true));
    }
}

TEST_CASE("R3: an evidence file that does not hold together says what is wrong with it") {
    {
        Sample s;
        s.evidence.entries[1].bytes.replace(s.evidence.entries[1].bytes.find("passed"), 6, "failed");
        CHECK(s.failed() == "evidence.entry_changed");
        CHECK(s.check().failed_seq == 4);
        CHECK(s.check().proved.empty());
    }
    {
        Sample s;
        std::swap(s.evidence.entries[0].proof, s.evidence.entries[1].proof);
        CHECK(s.failed() == "evidence.entry_changed");
        CHECK(s.check().failed_seq == 3);
    }
    {
        Sample s;
        s.evidence.entries[2].seq = 8;
        CHECK(s.failed() == "evidence.entry_changed");
    }
    {
        Sample s;
        s.evidence.entries.push_back({11, entry_bytes(11), inclusion_proof(s.tree.source(), 10, 12)});
        CHECK(s.failed() == "evidence.beyond");
    }
    {
        Sample s;
        s.evidence.serials.push_back("K105");  // signed, but not shown
        CHECK(s.failed() == "evidence.serial_missing");
    }
    {
        Sample s;
        s.evidence.entries.clear();
        CHECK(s.failed() == "evidence.no_entries");
    }
    {
        Sample s;
        s.evidence.name = "crimp.example/station-2";
        CHECK(s.failed() == "checkpoint.other_name");
    }
    {
        Sample s;
        s.evidence.key = SigningKey(s.evidence.name, KeyType::ed25519, test_seed(2)).verifier().text();
        CHECK(s.failed() == "evidence.other_key");
    }
    {
        Sample s;  // a forger signs another tree with a key of their own and says so
        const SigningKey forger(s.evidence.name, KeyType::ed25519, test_seed(2));
        s.sign(forger);
        CHECK(s.failed() == "checkpoint.unsigned");
        s.evidence.key = forger.verifier().text();
        CHECK(s.failed() == "evidence.other_key");
    }
}

TEST_CASE("signed bytes that are no entry, or bear another number, are not taken for one") {
    Sample s;
    PlainTree tree;
    tree.add("{\"seq\": 1}");
    tree.add("{\"seq\":1}");
    s.evidence.serials.clear();
    s.evidence.checkpoint = sign_checkpoint(2, tree.root(0, 2), station_key()).bytes();
    s.evidence.entries = {{1, "{\"seq\": 1}", inclusion_proof(tree.source(), 0, 2)}};
    CHECK(s.failed() == "evidence.entry_form");
    s.evidence.entries = {{2, "{\"seq\":1}", inclusion_proof(tree.source(), 1, 2)}};
    CHECK(s.failed() == "evidence.entry_number");
}

TEST_CASE("a countersignature bounds the time; a plain signature by a witness's key does not") {
    Sample s;
    auto note = must(parse_note(s.evidence.checkpoint));
    note.signatures.push_back(cosign_note(note.text, witness_key(), 1'741'070'000));
    s.evidence.checkpoint = note.bytes();
    const auto check = check_evidence(s.evidence, {station_key().verifier(), {witness_key().verifier()}});
    REQUIRE(check.good());
    CHECK(codes(check.proved) == Codes{"evidence.proved.signed", "evidence.proved.entries", "evidence.proved.about",
                                       "evidence.proved.countersigned"});
    CHECK(check.proved[3].detail("time") == "2025-03-04T06:33:20.000Z");
    CHECK(check.not_proved[3].code == "evidence.not.time_before");
    // Unknown to the reader: passed over.
    CHECK(s.check().not_proved[3].code == "evidence.not.time");
}

TEST_CASE("a newer key is reached from the trusted one by its hand-overs, from wherever the trust begins") {
    Sample s;
    const std::string name = s.evidence.name;
    const SigningKey first(name, KeyType::ed25519, Seed{1});
    const SigningKey second(name, KeyType::ed25519, Seed{2});
    const SigningKey third(name, KeyType::ed25519, Seed{3});
    s.evidence.handovers = {sign_hand_over({second.verifier(), {}}, first),
                            sign_hand_over({third.verifier(), {}}, second)};
    s.evidence.key = third.verifier().text();
    s.sign(third);
    const auto from = [&](const SigningKey& key) { return check_evidence(s.evidence, {key.verifier(), {}}); };
    CHECK(from(first).proved.front().code == "evidence.proved.handed_over");
    CHECK(from(first).proved.front().detail("count") == "2");
    CHECK(from(second).proved.front().detail("count") == "1");
    CHECK(from(third).proved.front().code == "evidence.proved.signed");
    CHECK(from(station_key()).failed->code == "evidence.other_key");
    s.evidence.handovers.erase(s.evidence.handovers.begin());
    CHECK(from(first).failed->code == "evidence.other_key");
    CHECK(from(second).good());
}

TEST_CASE("only the one form of an evidence file is read") {
    const Sample sample;
    const std::string good = write_evidence(sample.evidence);
    const auto why = [](const std::string& bytes) {
        const auto read = read_evidence(bytes);
        return read ? "taken" : read.error().code + " " + std::string(read.error().detail("why"));
    };
    const auto with = [&](const std::string& what, const std::string& by) {
        std::string other = good;
        other.replace(other.find(what), what.size(), by);
        return other;
    };
    CHECK(why(good) == "taken");
    CHECK(why(good + "\n") == "evidence.malformed canonical");
    CHECK(why(with("evidence/1", "evidence/2")) == "evidence.malformed format");
    CHECK(why(with("\"name\"", "\"nama\"")) == "evidence.malformed name");
    CHECK(why(with("\"seq\":7", "\"seq\":4")) == "evidence.malformed order");
    CHECK(why(with("\"seq\":7", "\"seq\":\"7\"")) == "evidence.malformed seq");
    CHECK(why(with("{\"checkpoint\"", "{\"a\":1,\"checkpoint\"")) == "evidence.malformed members");
    CHECK(why("[]").starts_with("json."));
    CHECK(why("{}") == "evidence.malformed format");
}

TEST_CASE("R3: a sealed paper is read with the shop's key alone, and no byte of it can be changed") {
    const std::string paper = "%PDF-1.3\n...a certificate...\n%%EOF\n";
    const std::string file = seal_paper(paper, "C-2025-17", station_key());
    CHECK(file.starts_with(paper + "%crimpgate-paper/1\n%crimpgate-paper/1 crimp.example/station-1\n%C-2025-17\n%" +
                           std::to_string(paper.size()) + "\n%" + to_base64(sha256(paper)) + "\n%\n%\xE2\x80\x94 "));
    const std::vector<VerifierKey> keys = {station_key().verifier()};
    const auto seal = must(check_seal(file, keys));
    CHECK(seal.number == "C-2025-17");
    CHECK(seal.bytes == static_cast<std::int64_t>(paper.size()));
    CHECK(seal.signed_by == keys[0]);
    for (std::size_t i = 0; i < file.size(); ++i)
        for (const int bit : {0, 4, 7}) {
            std::string other = file;
            other[i] = static_cast<char>(other[i] ^ (1 << bit));
            INFO("byte " << i << ", bit " << bit);
            CHECK_FALSE(check_seal(other, keys));
        }
    for (std::size_t i = 0; i < file.size(); ++i)
        CHECK_FALSE(check_seal(file.substr(0, i), keys));
    const auto refused = [&](const std::string& other) { return check_seal(other, keys).error().code; };
    CHECK(refused(paper) == "seal.none");
    CHECK_FALSE(has_seal(paper));
    CHECK(has_seal(file));
    CHECK(refused(file + "%more\n") == "seal.malformed");
    CHECK(refused(file + "more\n") == "seal.malformed");
    // One more signature, of somebody whom nobody asks, would be bytes that nothing covers.
    CHECK(refused(file + "%\xE2\x80\x94 somebody AAAAAAAA\n") == "seal.malformed");
    std::string more_before = file;
    CHECK(refused(more_before.insert(9, "x")) == "seal.changed");
    // Sealed twice: only the later seal speaks, and it covers the earlier one.
    CHECK(must(check_seal(seal_paper(file, "C-2025-18", station_key()), keys)).number == "C-2025-18");
    const SigningKey other(keys[0].name, KeyType::ed25519, test_seed(2));
    CHECK(refused(seal_paper(paper, "C-2025-17", other)) == "seal.unknown_key");
    CHECK(must(check_seal(seal_paper("no line end", "1", station_key()), keys)).bytes == 12);
    CHECK_THROWS_AS(seal_paper(paper, "two\nlines", station_key()), std::logic_error);
}
