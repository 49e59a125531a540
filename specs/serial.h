// An assembly's serial: readable, unique across benches, and hard to get wrong by hand.
//
//   prefix (1 to 3) + counter (6) + check (1), for example A1 00002K 7, written without gaps
//
// Prefix and counter use Crockford's base 32 (0-9, A-Z without I, L, O, U). The check character is ISO 7064 MOD 37,36
// over prefix and counter, which finds every single wrong character and nearly every swap; counters whose check
// character would be I, L, O or U are never given out, so that a whole serial stays in the alphabet that nobody
// misreads.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "specs/message.h"

namespace crimpgate {

// ISO 7064 MOD 37,36 of digits and capital letters; nullopt for any other character.
std::optional<char> iso7064_mod37_36(std::string_view body);

class Serial {
  public:
    static constexpr std::int64_t counters = std::int64_t{1} << 30;  // 32^6, counted from 0

    // The serial of that counter; nullopt when the counter is skipped (see above). A prefix that is no prefix or a
    // counter outside 0 .. counters - 1 is nullopt too.
    static std::optional<Serial> nth(std::string_view prefix, std::int64_t counter);

    // As typed or scanned: small letters, O for 0, I or L for 1, blanks and hyphens anywhere. Refused:
    // "serial.character", "serial.length", "serial.check".
    static Result<Serial> parse(std::string_view text);

    const std::string& text() const { return text_; }
    std::string_view prefix() const { return std::string_view(text_).substr(0, text_.size() - 7); }
    std::int64_t counter() const;
    auto operator<=>(const Serial&) const = default;

  private:
    explicit Serial(std::string text) : text_(std::move(text)) {}
    std::string text_;
};

// 1 to 3 characters of Crockford's alphabet, in capitals. "serial.prefix"
Result<void> check_serial_prefix(std::string_view prefix);

struct NextSerial {
    Serial serial;
    std::int64_t counter;
};

// The first serial after `last_counter` (-1 before the first). "serial.prefix", or "serial.used_up" at the end.
Result<NextSerial> next_serial(std::string_view prefix, std::int64_t last_counter);

}  // namespace crimpgate
