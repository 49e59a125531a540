#include "station/proof/paper_seal.h"

#include <stdexcept>

#include "station/proof/text_lines.h"

namespace crimpgate {
namespace {

constexpr std::string_view marker = "%crimpgate-paper/1\n";
constexpr std::string_view head = "crimpgate-paper/1 ";

tl::unexpected<Message> malformed(std::string_view why) {
    return refuse(message("seal.malformed").with("why", why));
}

// Where the last marker begins a line.
std::optional<std::size_t> find_marker(std::string_view file) {
    const std::string with_line_end = "\n" + std::string(marker);
    const auto at = file.rfind(with_line_end);
    if (at == std::string_view::npos) return std::nullopt;
    return at + 1;
}

}  // namespace

std::string seal_paper(std::string paper, std::string_view number, const SigningKey& key) {
    for (const char c : number)
        if (static_cast<unsigned char>(c) < 0x20) throw std::logic_error("seal_paper: a number is one line");
    if (number.empty()) throw std::logic_error("seal_paper: a paper has a number");
    if (!paper.ends_with('\n')) paper += '\n';
    SignedNote note;
    note.text = std::string(head) + key.verifier().name + "\n" + std::string(number) + "\n" +
                std::to_string(paper.size()) + "\n" + to_base64(sha256(paper)) + "\n";
    note.signatures.push_back(sign_note(note.text, key));
    paper += marker;
    const std::string bytes = note.bytes();
    const auto lines = lines_of(bytes);
    for (const auto line : *lines) {
        paper += '%';
        paper += line;
        paper += '\n';
    }
    return paper;
}

bool has_seal(std::string_view file) {
    return find_marker(file).has_value();
}

Result<PaperSeal> check_seal(std::string_view file, const std::vector<VerifierKey>& keys) {
    const auto at = find_marker(file);
    if (!at) return refuse(message("seal.none"));
    const auto commented = lines_of(file.substr(*at + marker.size()));
    if (!commented) return malformed("end");
    std::string bytes;
    for (const auto line : *commented) {
        if (!line.starts_with('%')) return malformed("line");
        bytes += line.substr(1);
        bytes += '\n';
    }
    const auto note = parse_note(bytes);
    if (!note) return malformed("note");
    if (note->signatures.size() != 1) return malformed("signatures");
    const auto lines = lines_of(note->text);
    if (!lines || lines->size() != 4 || !(*lines)[0].starts_with(head) || (*lines)[1].empty()) return malformed("text");
    PaperSeal seal;
    seal.name = (*lines)[0].substr(head.size());
    seal.number = (*lines)[1];
    const auto count = strict_number((*lines)[2]);
    const auto hash = hash_from_base64((*lines)[3]);
    if (!count || !hash) return malformed("text");
    seal.bytes = *count;
    seal.hash = *hash;
    const auto signers = verify_note(*note, keys);
    if (!signers) return refuse(signers.error());
    if (signers->empty() || signers->front().key.type != KeyType::ed25519 || signers->front().key.name != seal.name)
        return refuse(message("seal.unknown_key").with("name", seal.name));
    seal.signed_by = signers->front().key;
    if (static_cast<std::size_t>(seal.bytes) != *at || sha256(file.substr(0, *at)) != seal.hash)
        return refuse(message("seal.changed").with("number", seal.number));
    return seal;
}

}  // namespace crimpgate
