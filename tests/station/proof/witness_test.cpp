// The proof that a checkpoint extends another, and a witness that asks for it before it countersigns.
#include "station/proof/witness_key.h"

#include "station/proof/merkle.h"
#include "tests/station/proof/proof_kit.h"

using namespace proof_kit;

namespace {

struct Log {
    PlainTree tree = tree_of(20);
    SignedNote note(std::int64_t size) const { return sign_checkpoint(size, tree.root(0, size), station_key()); }
    Checkpoint head(std::int64_t size) const { return {"crimp.example/station-1", size, tree.root(0, size), {}}; }
    ConsistencyProof proof(std::int64_t from, std::int64_t to) const {
        return {from, to, consistency_proof(tree.source(), from, to)};
    }
};

template <class T>
std::string code(const Result<T>& result) {
    return result ? "good" : result.error().code;
}

Result<Countersigned> asked(const std::string& checkpoint, const std::string& last = "",
                            const std::string& proof = "") {
    return countersign(checkpoint, station_key().verifier(), witness_key(), last, proof, 1'741'070'000);
}

}  // namespace

TEST_CASE("R3: a checkpoint extends an earlier one or the refusal says why not") {
    const Log log;
    for (std::int64_t from = 1; from <= 20; ++from)
        for (std::int64_t to = from; to <= 20; ++to) {
            const auto proof = log.proof(from, to);
            CHECK(verify_extends(log.head(from), log.head(to), proof));
            CHECK(must(read_consistency(write_consistency(proof))) == proof);
        }
    auto other = log.head(7);
    other.root[0] ^= 1;
    CHECK(code(verify_extends(log.head(7), other, {})) == "consistency.two_trees");
    CHECK(code(verify_extends(other, log.head(12), log.proof(7, 12))) == "consistency.not_extended");
    CHECK(code(verify_extends(log.head(12), log.head(7), log.proof(7, 12))) == "consistency.shrunk");
    CHECK(code(verify_extends(log.head(7), log.head(12), log.proof(7, 13))) == "consistency.other_sizes");
    CHECK(code(verify_extends(log.head(7), log.head(12), {})) == "consistency.other_sizes");
    CHECK(code(verify_extends(log.head(7), log.head(12), {7, 12, {}})) == "consistency.not_extended");
    CHECK(code(verify_extends({log.head(7).name, 0, empty_tree_hash(), {}}, log.head(12), {})) == "good");
    CHECK(code(verify_extends({log.head(7).name, 0, Hash{}, {}}, log.head(12), {})) == "consistency.not_extended");
    CHECK(code(verify_extends({"another", 7, log.head(7).root, {}}, log.head(12), log.proof(7, 12))) ==
          "consistency.other_log");
}

TEST_CASE("a consistency file is read strictly") {
    const std::string good = write_consistency(Log().proof(7, 12));
    const auto why = [](const std::string& text) {
        const auto read = read_consistency(text);
        return read ? std::string("taken") : std::string(read.error().detail("why"));
    };
    CHECK(good.starts_with("crimpgate-consistency/1\nfrom 7\nto 12\n"));
    CHECK(why(good) == "taken");
    CHECK(why("") == "head");
    CHECK(why(good.substr(0, good.size() - 1)) == "head");
    CHECK(why("x" + good) == "head");
    CHECK(why("crimpgate-consistency/1\nfrom 07\nto 12\n") == "size");
    CHECK(why("crimpgate-consistency/1\nfrom 7\nto -1\n") == "size");
    CHECK(why(good + "AAAA\n") == "hash");
}

TEST_CASE("a witness countersigns what extends the last that it countersigned, and nothing else") {
    const Log log;
    const auto first = must(asked(log.note(7).bytes()));
    CHECK(
        must(open_checkpoint(first.note, station_key().verifier(), {witness_key().verifier()})).countersigners.size() ==
        1);
    CHECK(must(parse_signature_line(first.line)) == must(parse_note(first.note)).signatures.back());
    const auto proof = write_consistency(log.proof(7, 12));
    CHECK(code(asked(log.note(12).bytes(), first.note, proof)) == "good");
    CHECK(code(asked(log.note(7).bytes(), first.note)) == "good");                             // again the same
    CHECK(must(parse_note(must(asked(first.note, first.note)).note)).signatures.size() == 2);  // not a third line
    CHECK(code(asked(log.note(12).bytes(), first.note)) == "consistency.other_sizes");
    CHECK(code(asked(log.note(5).bytes(), first.note, proof)) == "consistency.shrunk");
    const auto forged = sign_checkpoint(12, Hash{1}, station_key()).bytes();
    CHECK(code(asked(forged, first.note, proof)) == "consistency.not_extended");
    CHECK(code(asked(sign_checkpoint(7, Hash{1}, station_key()).bytes(), first.note)) == "consistency.two_trees");
    CHECK(code(asked("scribble", first.note, proof)) == "note.malformed");
    const SigningKey stranger(station_key().verifier().name, KeyType::ed25519, test_seed(2));
    CHECK(code(asked(sign_checkpoint(12, log.head(12).root, stranger).bytes())) == "checkpoint.unsigned");
    // What is kept beside the key was put there by somebody else.
    CHECK(code(asked(log.note(12).bytes(), log.note(7).bytes(), proof)) == "witness.last_unsigned");
    CHECK(code(asked(log.note(12).bytes(), "scribble", proof)) == "note.malformed");
}

TEST_CASE("a witness's key is one line, and comes back from it") {
    const WitnessSecret secret{"lead-desk", test_seed(2)};
    const std::string text = witness_text(secret);
    CHECK(witness_key(must(read_witness_text(text))).verifier() == witness_key(secret).verifier());
    CHECK(witness_key(secret).verifier().type == KeyType::cosignature);
    for (const std::string& bad :
         {std::string(), text + "x", text.substr(0, text.size() - 1), "x" + text,
          std::string("crimpgate-witness/1 a+b AAAA\n"), std::string("crimpgate-witness/1 a AAAA\n")})
        CHECK(code(read_witness_text(bad)) == "witness.malformed");
}
