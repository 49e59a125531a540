// PINs: which ones may be used, how they are kept, how they are checked.
//
// A badge code says who, a PIN proves it at the one registered bench. Six digits at least and none that everybody tries
// first (the length and the list of refused values follow NIST SP 800-63B on PINs that unlock a device; a bare PIN is
// no password for a network). Kept as an Argon2id string with the OWASP ASVS 5 parameters: 19 MiB, two passes, one
// lane.
#pragma once

#include <string>
#include <string_view>

#include "specs/message.h"

namespace crimpgate {

// Refusals: "people.pin_not_digits", "people.pin_too_short" (least), "people.pin_too_long" (most),
// "people.pin_too_common".
Result<void> pin_may_be_used(std::string_view pin);

// pin_may_be_used's refusals. Throws std::runtime_error when the machine has not the memory for it.
Result<std::string> hash_pin(std::string_view pin);

// Without looking whether it may be used: for whoever has looked. Throws as hash_pin() does.
std::string hash_of_secret(std::string_view secret);

// A PIN's or a passphrase's hash. False for a hash that is no Argon2id string too.
bool pin_fits(const std::string& hash, std::string_view pin);

// Takes as long as pin_fits() on a real hash: for a person who does not exist, so that the time does not tell.
void pretend_to_check(std::string_view pin);

// SHA-256 in lower-case hex: of a file as it came in.
std::string sha256_hex(std::string_view bytes);

}  // namespace crimpgate
