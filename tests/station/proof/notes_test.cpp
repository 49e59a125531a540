// Signed notes, checkpoints, countersignatures and proof files against the texts of the C2SP specifications.
#include "station/proof/checkpoint.h"
#include "station/proof/key_handover.h"
#include "station/proof/tlog_proof.h"
#include "tests/station/proof/proof_kit.h"

using namespace proof_kit;

namespace {

std::string why(const Result<SignedNote>& note) {
    return note ? "taken" : std::string(note.error().detail("why"));
}

std::string refused(const Result<SignedCheckpoint>& opened) {
    return opened ? "taken" : opened.error().code;
}

}  // namespace

TEST_CASE("the example of the signed-note specification verifies, and is written back to the same bytes") {
    const auto data = data_json("tlog_c2sp.json").at("spec_example");
    const std::string bytes = text(data.at("note"));
    const auto note = must(parse_note(bytes));
    CHECK(note.text == "This is an example message.\n");
    CHECK(note.bytes() == bytes);
    const auto key = must(parse_verifier_key(text(data.at("vkey"))));
    const auto signers = must(verify_note(note, {key}));
    REQUIRE(signers.size() == 1);
    CHECK(signers[0].key == key);
    // A stranger's signature is passed over, a bad one of a known key is not.
    CHECK(must(verify_note(note, {station_key().verifier()})).empty());
    for (std::size_t i = 0; i + 1 < note.text.size(); ++i) {
        auto other = note;
        other.text[i] = static_cast<char>(other.text[i] ^ 1);
        const auto verified = verify_note(other, {key});
        REQUIRE_FALSE(verified);
        CHECK(verified.error().code == "note.bad_signature");
    }
}

TEST_CASE("a checkpoint comes out byte for byte as an independent program made it") {
    const auto data = data_json("tlog_c2sp.json");
    const auto root = hash_of_hex(json::value("5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328"));
    const auto note = sign_checkpoint(8, root, station_key());
    CHECK(note.text == text(data.at("checkpoint").at("signed_body")));
    CHECK(note.bytes() == text(data.at("checkpoint").at("note")));
    CHECK(note.bytes() == data_text("checkpoint_size8.txt"));
    CHECK(to_hex(sha256(note.bytes())) == text(data.at("checkpoint").at("note_sha256")));
    const auto opened = must(open_checkpoint(note.bytes(), station_key().verifier()));
    CHECK(opened.checkpoint == Checkpoint{"crimp.example/station-1", 8, root, {}});
    CHECK(opened.countersigners.empty());
}

TEST_CASE("a countersignature comes out byte for byte, says when it was made, and binds that time") {
    const auto data = data_json("tlog_c2sp.json").at("cosignature");
    auto note = must(parse_note(data_text("checkpoint_size8.txt")));
    note.signatures.push_back(cosign_note(note.text, witness_key(), data.at("time").as_int64()));
    CHECK(note.bytes() == text(data.at("note")));
    CHECK(note.bytes() == data_text("checkpoint_size8_cosigned.txt"));
    const auto log = station_key().verifier();
    const auto witness = witness_key().verifier();
    const auto opened = must(open_checkpoint(note.bytes(), log, {witness}));
    REQUIRE(opened.countersigners.size() == 1);
    CHECK(opened.countersigners[0].unix_seconds == 1'700'000'000);
    // Who does not know the witness sees no countersigner; the checkpoint itself stands.
    CHECK(must(open_checkpoint(note.bytes(), log)).countersigners.empty());
    for (std::size_t i = 0; i < note.signatures[1].field.size(); ++i) {
        auto other = note;
        other.signatures[1].field[i] = static_cast<char>(other.signatures[1].field[i] ^ 1);
        CHECK(refused(open_checkpoint(other.bytes(), log, {witness})) == "note.bad_signature");
    }
    CHECK(parse_signature_line(note.signatures[1].line()) == note.signatures[1]);
}

TEST_CASE("R3: no character of a checkpoint can be changed") {
    const std::string good = data_text("checkpoint_size8.txt");
    const auto log = station_key().verifier();
    REQUIRE(refused(open_checkpoint(good, log)) == "taken");
    for (std::size_t i = 0; i < good.size(); ++i)
        for (const int bit : {0, 1, 5}) {
            std::string other = good;
            other[i] = static_cast<char>(other[i] ^ (1 << bit));
            INFO("byte " << i << ", bit " << bit);
            CHECK(refused(open_checkpoint(other, log)) != "taken");
        }
    for (std::size_t i = 0; i < good.size(); ++i) {
        INFO("cut at " << i);
        CHECK(refused(open_checkpoint(good.substr(0, i), log)) != "taken");
    }
}

TEST_CASE("a note is read strictly") {
    const std::string good = data_text("checkpoint_size8.txt");
    const auto with = [&](const std::string& what, const std::string& by) {
        std::string other = good;
        other.replace(other.find(what), what.size(), by);
        return other;
    };
    CHECK(why(parse_note(good)) == "taken");
    CHECK(why(parse_note("")) == "end");
    CHECK(why(parse_note("text\n")) == "separator");
    CHECK(why(parse_note("text\n\n")) == "separator");
    CHECK(why(parse_note("\n\n" + good.substr(good.find("\xE2\x80\x94")))) == "separator");
    CHECK(why(parse_note(with("\n8\n", "\r\n8\r\n"))) == "control");
    CHECK(why(parse_note(with("\n8\n", "\n8\t\n"))) == "control");
    CHECK(why(parse_note(good.substr(0, good.size() - 1))) == "end");
    CHECK(why(parse_note(with("\xE2\x80\x94 ", "- "))) == "signature");
    CHECK(why(parse_note(with("HkhwU=", "HkhwU"))) == "signature");   // padding
    CHECK(why(parse_note(with("HkhwU=", "HkhwV="))) == "signature");  // stray bits: another spelling of the same bytes
    CHECK(why(parse_note(good + "not a signature\n")) == "signature");
    CHECK(why(parse_note(good + "\n")) == "separator");
    CHECK(why(parse_note(good + "\xFF\n")) == "utf8");
    std::string many = good;
    const std::string line = good.substr(good.find("\xE2\x80\x94"));
    for (std::size_t i = 1; i < most_note_signatures; ++i)
        many += line;
    CHECK(why(parse_note(many)) == "taken");
    CHECK(why(parse_note(many + line)) == "many");
}

TEST_CASE("a checkpoint is read strictly, and is nobody else's") {
    const auto log = station_key().verifier();
    const auto signed_text = [&](const std::string& words) {
        SignedNote note{words, {}};
        note.signatures.push_back(sign_note(words, station_key()));
        const auto opened = open_checkpoint(note.bytes(), log);
        return opened ? "taken" : opened.error().code + " " + std::string(opened.error().detail("why"));
    };
    const std::string name = log.name + "\n";
    const std::string root = "XcnaeacGWamtVZy3Ad7ZoqudgjqtL0lgz+Nw7/RgQyg=\n";
    CHECK(signed_text(name + "8\n" + root) == "taken");
    CHECK(signed_text(name + "8\n" + root + "further line\n") == "taken");
    CHECK(signed_text(name + "0\n" + to_base64(empty_tree_hash()) + "\n") == "taken");
    CHECK(signed_text(name + "08\n" + root) == "checkpoint.malformed size");
    CHECK(signed_text(name + "+8\n" + root) == "checkpoint.malformed size");
    CHECK(signed_text(name + "-8\n" + root) == "checkpoint.malformed size");
    CHECK(signed_text(name + "99999999999999999999\n" + root) == "checkpoint.malformed size");
    CHECK(signed_text(name + "8\nXcnaeacGWamtVZy3Ad7ZoqudgjqtL0lgz+Nw7/RgQyg\n") == "checkpoint.malformed root");
    CHECK(signed_text(name + "8\nAAAA\n") == "checkpoint.malformed root");
    CHECK(signed_text(name + "8\n") == "checkpoint.malformed lines");
    CHECK(signed_text("two words\n8\n" + root) == "checkpoint.malformed name");
    CHECK(signed_text("other\n8\n" + root) == "checkpoint.other_name ");
    // Signed by the witness alone.
    auto note = must(parse_note(data_text("checkpoint_size8_cosigned.txt")));
    note.signatures.erase(note.signatures.begin());
    CHECK(refused(open_checkpoint(note.bytes(), log, {witness_key().verifier()})) == "checkpoint.unsigned");
    // A countersignature by the station's own seed under its own name is of another type and no signature of the log.
    const SigningKey disguised("crimp.example/station-1", KeyType::cosignature, test_seed(1));
    note.signatures = {cosign_note(note.text, disguised, 5)};
    CHECK(refused(open_checkpoint(note.bytes(), log, {disguised.verifier()})) == "checkpoint.unsigned");
    CHECK_THROWS_AS(sign_note("text\n", witness_key()), std::logic_error);
    CHECK_THROWS_AS(cosign_note("text\n", station_key(), 5), std::logic_error);
}

TEST_CASE("a proof file comes out byte for byte, verifies, and fails with one character changed") {
    const auto data = data_json("merkle_rfc6962.json");
    PlainTree tree;
    for (const auto& leaf : data.at("leaves").as_array())
        tree.add(bytes_of_hex(leaf));
    const TlogProof proof{std::nullopt, 5, inclusion_proof(tree.source(), 5, 8), data_text("checkpoint_size8.txt")};
    const std::string bytes = write_tlog_proof(proof);
    CHECK(bytes == data_text("leaf5.tlog-proof"));
    CHECK(bytes == text(data_json("tlog_c2sp.json").at("tlog_proof").at("text")));
    CHECK(must(read_tlog_proof(bytes)) == proof);

    const auto log = station_key().verifier();
    const std::string record = "@ABC";
    CHECK(must(verify_tlog_proof(proof, record, log)).checkpoint.size == 8);
    CHECK(refused(verify_tlog_proof(proof, "@ABD", log)) == "tlog_proof.not_included");
    CHECK(refused(verify_tlog_proof(proof, "", log)) == "tlog_proof.not_included");
    for (std::size_t i = 0; i < bytes.size(); ++i) {
        std::string other = bytes;
        other[i] = static_cast<char>(other[i] ^ 1);
        const auto read = read_tlog_proof(other);
        INFO("byte " << i);
        CHECK((!read || !verify_tlog_proof(*read, record, log)));
    }
    auto with_extra = proof;
    with_extra.extra = "serial K100C";
    CHECK(must(read_tlog_proof(write_tlog_proof(with_extra))) == with_extra);
    CHECK(must(verify_tlog_proof(with_extra, record, log, {witness_key().verifier()})).countersigners.empty());
}

TEST_CASE("the sample of five records, made by another program, verifies from its bytes") {
    const auto data = data_json("evidence_sample.json");
    PlainTree tree;
    for (const auto& record : data.at("records").as_array()) {
        tree.add(text(record.at("bytes")));
        CHECK(tree.leaf(tree.size() - 1) == hash_of_hex(record.at("leaf_hash")));
    }
    for (const auto& one : data.at("roots").as_array())
        CHECK(tree_root(tree.source(), one.at("size").as_int64()) == hash_of_hex(one.at("root")));
    const auto log = must(parse_verifier_key(text(data.at("vkey"))));
    const auto older = must(open_checkpoint(text(data.at("checkpoint_3")), log)).checkpoint;
    const auto newer = must(open_checkpoint(text(data.at("checkpoint_5")), log)).checkpoint;
    CHECK(consistency_proof(tree.source(), 3, 5) == hashes_of(data.at("consistency_3_5")));
    CHECK(verify_consistency(3, 5, hashes_of(data.at("consistency_3_5")), older.root, newer.root));
    const auto proof = must(read_tlog_proof(text(data.at("tlog_proof_index_2"))));
    CHECK(must(verify_tlog_proof(proof, text(data.at("records").at(2).at("bytes")), log)).checkpoint == newer);
}

TEST_CASE("a key hands over to the next, and only the old key can say so") {
    const auto old = station_key();
    const SigningKey next(old.verifier().name, KeyType::ed25519, test_seed(2));
    const SigningKey tags(old.verifier().name, KeyType::ed25519, tag_seed(test_seed(2)));
    const HandOver to{next.verifier(), tags.verifier().key};
    const std::string note = sign_hand_over(to, old);
    CHECK(note.starts_with("crimpgate-key/1 crimp.example/station-1\ncrimp.example/station-1+"));
    CHECK(must(open_hand_over(note, old.verifier())) == to);
    CHECK(must(follow_hand_overs(old.verifier(), {note})).back() == next.verifier());
    CHECK(open_hand_over(note, next.verifier()).error().code == "handover.unsigned");
    CHECK(open_hand_over(sign_hand_over(to, next), old.verifier()).error().code == "handover.unsigned");
    CHECK(open_hand_over(data_text("checkpoint_size8.txt"), old.verifier()).error().detail("why") == "head");
    for (std::size_t i = 0; i < note.size(); ++i) {
        std::string other = note;
        other[i] = static_cast<char>(other[i] ^ 1);
        CHECK_FALSE(open_hand_over(other, old.verifier()));
    }
    CHECK_THROWS_AS(sign_hand_over({witness_key().verifier(), {}}, old), std::logic_error);
}
