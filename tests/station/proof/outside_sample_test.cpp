// Files that were made by the formats' description alone, in another language (tests/outside/evidence_sample.py), and
// what this code makes of the same facts: the same bytes, or the description is wrong.
#include "station/proof/base45.h"
#include "station/proof/evidence.h"
#include "station/proof/key_handover.h"
#include "station/proof/paper_seal.h"
#include "station/proof/tag_statement.h"
#include "tests/station/proof/proof_kit.h"

using namespace proof_kit;

namespace {

SigningKey tag_key() {
    return {station_key().verifier().name, KeyType::ed25519, tag_seed(test_seed(1))};
}

}  // namespace

TEST_CASE(
    "an evidence file made elsewhere is good, with its countersignature, and is written again to the same bytes") {
    const std::string bytes = data_text("evidence_good.json");
    const auto evidence = must(read_evidence(bytes));
    CHECK(write_evidence(evidence) == bytes);
    const auto check = check_evidence(evidence, {station_key().verifier(), {witness_key().verifier()}});
    REQUIRE(check.good());
    CHECK(check.countersigners.size() == 1);
    // Signed again by this code: Ed25519 is deterministic (RFC 8032).
    auto note = sign_checkpoint(check.checkpoint.size, check.checkpoint.root, station_key());
    note.signatures.push_back(cosign_note(note.text, witness_key(), 1'741'070'000));
    CHECK(note.bytes() == evidence.checkpoint);
}

TEST_CASE("a hand-over and a certificate's seal made elsewhere are those that this code makes") {
    const auto keys = data_json("evidence_keys.json");
    const auto evidence = must(read_evidence(data_text("evidence_handed_over.json")));
    REQUIRE(evidence.handovers.size() == 1);
    const auto next = must(open_hand_over(evidence.handovers[0], station_key().verifier()));
    CHECK(next.next.text() == text(keys.at("next")));
    CHECK(sign_hand_over(next, station_key()) == evidence.handovers[0]);
    CHECK(check_evidence(evidence, {station_key().verifier(), {}}).good());

    const std::string paper = data_text("certificate_good.pdf");
    const auto seal = must(check_seal(paper, {station_key().verifier()}));
    CHECK(seal_paper(paper.substr(0, static_cast<std::size_t>(seal.bytes)), seal.number, station_key()) == paper);
}

TEST_CASE("keys and a tag's code made elsewhere are those that this code makes") {
    const auto keys = data_json("evidence_keys.json");
    CHECK(station_key().verifier().text() == text(keys.at("station")));
    CHECK(witness_key().verifier().text() == text(keys.at("witness")));
    CHECK(tag_key().verifier().text() == text(keys.at("tag")));  // derived: BLAKE2b, context and number
    TagStatement statement{tag_key().verifier().id(), "K103", "WO-2041", 20250304, 27500, false, 120, "K1"};
    CHECK(tag_code(sign_tag(statement, tag_key())) == text(keys.at("tag_code")));
    CHECK(tag_link("https://shop.example", sign_tag(statement, tag_key())) == text(keys.at("tag_link")));
    statement.serial = "K104";
    statement.on_concession = true;
    statement.margin_um = -12;
    CHECK(tag_code(sign_tag(statement, tag_key())) == text(keys.at("tag_concession")));
}
