// Numbers into text, once: whoever shows an audit puts nothing but the reader's decimal sign and time zone to it.
//
// Decimal point, no thousands sign, no locale, never "-0.000". Lengths come from whole nanometres by whole-number
// arithmetic; what statistics made of them is rounded to a nanometre first (a thousandth of the finest caliper's step).
// Nothing here is an error: a figure that there is not is the empty text.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "specs/length.h"
#include "specs/message.h"

namespace crimpgate::audit {

std::string count_text(std::int64_t count);

// Share of a whole in percent with one decimal, half a tenth up, by whole-number arithmetic; empty of nothing.
std::string percent_text(std::int64_t part, std::int64_t whole);
// A computed share, 0 to 1.
std::string percent_text(double share);

// A decimal fraction with fixed places; empty when it is not finite.
std::string number_text(double value, int places);

// A chance: "0.0123", below a ten-thousandth "1.2e-05".
std::string chance_text(double p);

// "2026-11-25T07:12:03.120Z"; empty for 0.
std::string time_text(std::int64_t utc_ms);

// Milliseconds as seconds with one decimal, half up.
std::string seconds_text(std::int64_t ms);

// {"code":...,"details":{...}}, members sorted.
std::string message_text(const Message& message);

// Lengths in the audit's unit.
class LengthText {
  public:
    explicit LengthText(bool inches) : inches_(inches) {}
    bool inches() const { return inches_; }
    // A reading, a limit, an error: 0.0001 mm or 0.00001 in; finer ones with the places that they need, up to six.
    std::string exact(Length length) const;
    std::string exact(const std::optional<Length>& length) const { return length ? exact(*length) : std::string(); }
    // A mean or a difference of means, in nanometres: 0.0001 mm or 0.00001 in.
    std::string mean(double nm) const;
    // A standard deviation, in nanometres: 0.00001 mm or 0.000001 in.
    std::string sd(double nm) const;
    std::string sd(const std::optional<double>& nm) const { return nm ? sd(*nm) : std::string(); }

  private:
    bool inches_ = false;
};

}  // namespace crimpgate::audit
