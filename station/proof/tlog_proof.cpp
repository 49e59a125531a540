#include "station/proof/tlog_proof.h"

#include "station/proof/merkle.h"
#include "station/proof/text_lines.h"

namespace crimpgate {
namespace {

constexpr std::string_view head = "c2sp.org/tlog-proof@v1\n";
constexpr std::size_t most_hashes = 63;  // of a tree as large as its numbers can count

tl::unexpected<Message> malformed(std::string_view why) {
    return refuse(message("tlog_proof.malformed").with("why", why));
}

}  // namespace

std::string write_tlog_proof(const TlogProof& proof) {
    std::string text(head);
    if (proof.extra) text += "extra " + to_base64(*proof.extra) + "\n";
    text += "index " + std::to_string(proof.index) + "\n";
    for (const Hash& hash : proof.hashes)
        text += to_base64(hash) + "\n";
    return text + "\n" + proof.checkpoint;
}

Result<TlogProof> read_tlog_proof(std::string_view bytes) {
    if (!bytes.starts_with(head)) return malformed("head");
    const auto end = bytes.find("\n\n");
    if (end == std::string_view::npos) return malformed("end");
    const auto lines = lines_of(bytes.substr(head.size(), end + 1 - head.size()));
    if (!lines || lines->empty()) return malformed("index");
    TlogProof proof;
    std::size_t next = 0;
    if ((*lines)[next].starts_with("extra ")) {
        proof.extra = from_base64((*lines)[next++].substr(6));
        if (!proof.extra) return malformed("extra");
    }
    if (next == lines->size() || !(*lines)[next].starts_with("index ")) return malformed("index");
    const auto index = strict_number((*lines)[next++].substr(6));
    if (!index) return malformed("index");
    proof.index = *index;
    if (lines->size() - next > most_hashes) return malformed("hash");
    for (; next < lines->size(); ++next) {
        const auto hash = hash_from_base64((*lines)[next]);
        if (!hash) return malformed("hash");
        proof.hashes.push_back(*hash);
    }
    proof.checkpoint = bytes.substr(end + 2);
    return proof;
}

Result<SignedCheckpoint> verify_tlog_proof(const TlogProof& proof, std::string_view record, const VerifierKey& log,
                                           const std::vector<VerifierKey>& witnesses) {
    auto opened = open_checkpoint(proof.checkpoint, log, witnesses);
    if (!opened) return opened;
    const Checkpoint& checkpoint = opened->checkpoint;
    if (!verify_inclusion(proof.index, checkpoint.size, leaf_hash(record), proof.hashes, checkpoint.root))
        return refuse(message("tlog_proof.not_included")
                          .with("index", std::to_string(proof.index))
                          .with("size", std::to_string(checkpoint.size)));
    return opened;
}

}  // namespace crimpgate
