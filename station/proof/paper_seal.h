// The seal of a paper that is handed out as a file (a certificate): comment lines behind the PDF's last %%EOF, where
// readers of PDF do not look,
//     %crimpgate-paper/1
//     %<line>                     for every line of a signed note, whose text is
//         crimpgate-paper/1 <key name>
//         <number of the paper>
//         <number of bytes before the line %crimpgate-paper/1>
//         <base64 of their SHA-256>
// The seal has one spelling (one signature, nothing behind it), so that every byte of the file is covered and ten lines
// of any language can check it.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"
#include "station/proof/signed_note.h"

namespace crimpgate {

struct PaperSeal {
    std::string name;    // of the key
    std::string number;  // of the paper
    std::int64_t bytes = 0;
    Hash hash{};
    VerifierKey signed_by;
};

// The paper with its seal. A line end is put behind the paper when it has none. `number` is one line without control
// characters (std::logic_error). The key is the station's checkpoint key.
std::string seal_paper(std::string paper, std::string_view number, const SigningKey& key);

// Whether there is a seal at all, be it good or bad.
bool has_seal(std::string_view file);

// "seal.none", "seal.malformed" (why), "seal.changed" (number: the bytes are not those that were sealed),
// "seal.unknown_key" (name), "note.bad_signature" (name).
Result<PaperSeal> check_seal(std::string_view file, const std::vector<VerifierKey>& keys);

}  // namespace crimpgate
