// Passphrases: which ones may be used, how they are kept.
//
// NIST SP 800-63B-4 on passwords that stand alone: 15 characters at least, no rules of composition, no change by the
// calendar, pasting and every character allowed, values that are common or made of what everybody knows of the person
// refused. UTF-8, as the API's JSON has it; counted in its characters, kept as they were typed (no normalisation: a
// keyboard sends composed letters, so the same keys give the same bytes), hashed like PINs (pins.h); pin_fits() checks
// both.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"

namespace crimpgate {

// `known`: names, codes and the shop's name, whatever stands on a badge or a tag; what is left of the passphrase
// without them must be a secret still.
// Refusals: "people.passphrase_too_short" (least), "people.passphrase_too_long" (most), "people.passphrase_too_common".
Result<void> passphrase_may_be_used(std::string_view passphrase, const std::vector<std::string>& known);

// The above's refusals. Throws std::runtime_error when the machine has not the memory for it.
Result<std::string> hash_passphrase(std::string_view passphrase, const std::vector<std::string>& known);

}  // namespace crimpgate
