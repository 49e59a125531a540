// Two passes: first every byte is fitted to the pattern, then what the parts say is weighed. So a frame that is not
// the gauge's own is told apart from one that is but carries no value to trust.
#include "drivers/frame_parser.h"

#include <algorithm>
#include <cstdint>
#include <stdexcept>

namespace crimpgate {
namespace {

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}
char upper(char c) {
    return c >= 'a' && c <= 'f' ? static_cast<char>(c - 'a' + 'A') : c;
}

Message doubt(std::string_view code, std::string_view found) {
    return message(code).with("found", readable_bytes(found));
}

struct Parts {
    bool has_sign = false;
    bool minus = false;
    std::string_view number;  // digits, blanks, mark as sent
    std::optional<int> said_places;
    std::optional<LengthUnit> said_unit;
    std::string_view unit_word;
    GaugeFlag flag = GaugeFlag::ok;  // the first that is not ok
};

// Fits one field to the front of `rest` and takes it off; false when it does not fit.
struct FieldFitter {
    std::string_view& rest;
    Parts& parts;

    bool take(std::string_view word) {
        if (!rest.starts_with(word)) return false;
        rest.remove_prefix(word.size());
        return true;
    }
    bool operator()(const LiteralField& f) { return take(f.text); }
    bool operator()(const SignField& f) {
        if (rest.empty()) return false;
        const char c = rest.front();
        parts.has_sign = true;
        parts.minus = f.minus.find(c) != std::string::npos;
        if (!parts.minus && f.plus.find(c) == std::string::npos) return false;
        rest.remove_prefix(1);
        return true;
    }
    bool operator()(const DigitsField& f) {
        if (rest.size() < f.width()) return false;
        parts.number = rest.substr(0, f.width());
        rest.remove_prefix(f.width());
        return true;  // its bytes are weighed once the whole pattern is known to fit
    }
    bool operator()(const PlacesField&) {
        if (rest.empty() || !is_digit(rest.front())) return false;
        parts.said_places = rest.front() - '0';
        rest.remove_prefix(1);
        return true;
    }
    bool operator()(const UnitField& f) {
        for (const auto& word : f.mm)
            if (take(word)) return parts.said_unit = LengthUnit::mm, parts.unit_word = word, true;
        for (const auto& word : f.inch)
            if (take(word)) return parts.said_unit = LengthUnit::inch, parts.unit_word = word, true;
        return false;
    }
    bool operator()(const FlagField& f) {
        for (const auto& [flag, word] : f.words) {
            if (!take(word)) continue;
            if (parts.flag == GaugeFlag::ok) parts.flag = flag;
            return true;
        }
        return false;
    }
    bool operator()(const IgnoredField& f) {
        const auto n = static_cast<std::size_t>(f.count);
        if (rest.size() < n) return false;
        rest.remove_prefix(n);
        return true;
    }
};

// Start, terminator and stop taken off and the checksum checked: what the pattern describes.
Result<std::string_view> payload_of(std::string_view frame, const Profile& profile) {
    std::string_view start, stop;
    if (const auto* line = std::get_if<LineFraming>(&profile.framing)) {
        stop = line->terminator;
    } else if (const auto* fixed = std::get_if<FixedFraming>(&profile.framing)) {
        start = fixed->start;
        if (frame.size() != fixed->length) return refuse(doubt("driver.malformed", frame));
    } else {
        const auto& both = std::get<StartStopFraming>(profile.framing);
        start = both.start;
        stop = both.stop;
    }
    const bool framed = frame.size() >= start.size() + stop.size() && frame.size() <= profile.longest_frame() &&
                        frame.starts_with(start) && frame.ends_with(stop);
    if (!framed) return refuse(doubt("driver.malformed", frame));
    auto payload = frame.substr(start.size(), frame.size() - start.size() - stop.size());
    if (!profile.checksum) return payload;

    const auto& rule = *profile.checksum;
    const std::size_t width = rule.as_hex ? 2 : 1;
    if (payload.size() < width || start.size() + payload.size() - width < rule.first)
        return refuse(doubt("driver.malformed", frame));
    const auto sent = payload.substr(payload.size() - width);
    payload.remove_suffix(width);
    const auto computed = checksum_text(frame.substr(0, start.size() + payload.size()), rule);
    const bool same = rule.as_hex ? std::equal(sent.begin(), sent.end(), computed.begin(),
                                               [](char a, char b) { return upper(a) == b; })
                                  : sent == computed;
    if (!same) {
        return refuse(doubt("driver.checksum", frame)
                          .with("sent", readable_bytes(sent))
                          .with("computed", readable_bytes(computed)));
    }
    return payload;
}

struct Number {
    std::int64_t digits = 0;
    bool minus = false;         // where the sign floats
    std::optional<int> places;  // where a mark was sent
};

const DigitsField& digits_field(const Profile& profile) {
    for (const auto& field : profile.pattern)
        if (const auto* digits = std::get_if<DigitsField>(&field)) return *digits;
    throw std::logic_error("a profile without digits");  // parse_profile lets none through
}

// Takes a floating sign off the front of what stands behind the blanks; true for a minus. The sign's byte has to be
// there, as a sign or as a blank: a number that fills it with a digit is too long.
Result<bool> take_floating_sign(std::string_view& text, std::size_t blanks, const Parts& parts,
                                std::string_view frame) {
    if (blanks < text.size() && (text[blanks] == '-' || text[blanks] == '+')) {
        const bool minus = text[blanks] == '-';
        text.remove_prefix(blanks + 1);
        if (!text.empty() && text.front() == ' ') return refuse(doubt("driver.digits_missing", frame));
        return minus;
    }
    if (blanks == 0)
        return refuse(doubt(is_digit(parts.number.front()) ? "driver.malformed" : "driver.digits_missing", frame));
    text.remove_prefix(blanks);
    return false;
}

// The number as sent, or why it is none. Malformed: bytes that no gauge of this pattern puts there.
Result<Number> weigh_number(const Parts& parts, const DigitsField& field, std::string_view frame) {
    auto text = parts.number;
    const auto first = text.find_first_not_of(' ');
    const auto blanks = first == std::string_view::npos ? text.size() : first;
    const auto count = [&](char c) { return std::count(text.begin(), text.end(), c); };
    const bool only_known = std::all_of(text.begin(), text.end(), [](char c) {
        return is_digit(c) || c == ' ' || c == '-' || c == '+' || c == '_' || c == '.' || c == ',';
    });
    if (!only_known || count('.') + count(',') > 1) return refuse(doubt("driver.malformed", frame));

    Number number;
    if (field.floating_sign) {
        const auto minus = take_floating_sign(text, blanks, parts, frame);
        if (!minus) return refuse(minus.error());
        number.minus = *minus;
    }
    if (count('+') > 0) return refuse(doubt("driver.malformed", frame));
    // A minus before digits is a sign in a wrong place; dashes in place of digits are digits missing.
    const bool lone_minus = !field.floating_sign && count('-') == 1 && blanks < text.size() && text[blanks] == '-' &&
                            blanks + 1 < text.size() && is_digit(text[blanks + 1]);
    if (lone_minus) return refuse(doubt(parts.has_sign ? "driver.malformed" : "driver.sign_impossible", frame));
    if (count('-') + count('_') > 0) return refuse(doubt("driver.digits_missing", frame));
    if (!field.floating_sign) {
        if (blanks > 0 && !field.blank_padded) return refuse(doubt("driver.digits_missing", frame));
        text.remove_prefix(blanks);
    }
    if (text.empty() || count(' ') > 0) return refuse(doubt("driver.digits_missing", frame));

    const char mark = field.mark == DecimalMark::comma ? ',' : '.';
    const auto at = text.find_first_of(".,");
    if (at != std::string_view::npos && (!field.mark || text[at] != mark)) {
        return refuse(doubt("driver.mark_unexpected", frame)
                          .with("mark", text.substr(at, 1))
                          .with("expected", field.mark ? std::string_view(&mark, 1) : std::string_view("none")));
    }
    if (field.mark && at == std::string_view::npos) return refuse(doubt("driver.malformed", frame));
    if (field.mark && (at == 0 || at + 1 == text.size())) return refuse(doubt("driver.digits_missing", frame));

    if (field.mark) number.places = static_cast<int>(text.size() - at - 1);
    for (const char c : text)
        if (is_digit(c)) number.digits = number.digits * 10 + (c - '0');
    return number;
}

std::string_view unit_name(LengthUnit unit) {
    return unit == LengthUnit::mm ? "mm" : "in";
}

Result<FrameValue> weigh(const Parts& parts, const Profile& profile, std::string_view frame) {
    switch (parts.flag) {
        case GaugeFlag::low_battery:
            return refuse(doubt("driver.low_battery", frame));
        case GaugeFlag::over_range:
            return refuse(doubt("driver.over_range", frame));
        case GaugeFlag::hold:
            return refuse(doubt("driver.hold", frame));
        case GaugeFlag::ok:
            break;
    }
    const auto number = weigh_number(parts, digits_field(profile), frame);
    if (!number) return refuse(number.error());

    LengthUnit unit = profile.unit_policy == UnitPolicy::fixed_inch ? LengthUnit::inch : LengthUnit::mm;
    if (profile.unit_policy == UnitPolicy::as_sent) {
        if (!parts.said_unit) return refuse(doubt("driver.malformed", frame));
        unit = *parts.said_unit;
        if (unit != profile.expected) {
            return refuse(doubt("driver.unit_unexpected", frame)
                              .with("sent", unit_name(unit))
                              .with("expected", unit_name(profile.expected)));
        }
    }
    const auto& form = profile.form(unit);
    if (!form) return refuse(doubt("driver.unit_unexpected", frame).with("sent", unit_name(unit)).with("expected", ""));

    const int places = number->places ? *number->places : parts.said_places.value_or(form->places);
    if (places != form->places) {
        return refuse(doubt("driver.places_unexpected", frame)
                          .with("places", std::to_string(places))
                          .with("expected", std::to_string(form->places)));
    }
    const bool minus = parts.minus || number->minus;
    if (minus && !profile.negative_possible) return refuse(doubt("driver.sign_impossible", frame));

    const auto nm_per_unit = unit == LengthUnit::mm ? Length::nm_per_mm : Length::nm_per_inch;
    const auto nm = scale_exactly(Decimal{number->digits, places}, nm_per_unit);
    if (!nm || *nm % form->resolution.nm() != 0) {
        const auto step =
            unit == LengthUnit::mm ? form->resolution.to_mm_text(places) : form->resolution.to_inch_text(places);
        return refuse(doubt("driver.off_resolution", frame).with("step", step).with("unit", unit_name(unit)));
    }
    FrameValue value;
    value.value = Length::from_nm(minus ? -*nm : *nm);
    value.unit = unit;
    value.resolution = form->resolution;
    return value;
}

}  // namespace

Result<FrameValue> parse_frame(std::string_view frame, const Profile& profile) {
    const auto payload = payload_of(frame, profile);
    if (!payload) return refuse(payload.error());
    for (const auto& notice : profile.notices) {
        if (*payload != notice.text) continue;
        Parts only_flag;
        only_flag.flag = notice.meaning;
        return weigh(only_flag, profile, frame);
    }
    Parts parts;
    auto rest = *payload;
    FieldFitter fit{rest, parts};
    const bool fits = std::all_of(profile.pattern.begin(), profile.pattern.end(),
                                  [&](const PatternField& field) { return std::visit(fit, field); });
    if (!fits || !rest.empty()) return refuse(doubt("driver.malformed", frame));
    return weigh(parts, profile, frame);
}

bool is_well_formed(std::string_view frame, const Profile& profile) {
    const auto parsed = parse_frame(frame, profile);
    return parsed || (parsed.error().code != "driver.malformed" && parsed.error().code != "driver.checksum");
}

std::string checksum_text(std::string_view frame, const Checksum& checksum) {
    unsigned sum = 0;
    for (const char c : frame.substr(std::min(checksum.first, frame.size()))) {
        const auto byte = static_cast<unsigned char>(c);
        sum = checksum.rule == ChecksumRule::xor8 ? sum ^ byte : sum + byte;
    }
    if (checksum.rule == ChecksumRule::sum8_negated) sum = 256 - sum % 256;
    sum %= 256;
    if (!checksum.as_hex) return std::string(1, static_cast<char>(sum));
    constexpr std::string_view hex = "0123456789ABCDEF";
    return {hex[sum / 16], hex[sum % 16]};
}

std::string readable_bytes(std::string_view bytes) {
    constexpr std::string_view hex = "0123456789ABCDEF";
    std::string out;
    for (const char c : bytes) {
        const auto byte = static_cast<unsigned char>(c);
        if (c == '\r') {
            out += "<CR>";
        } else if (c == '\n') {
            out += "<LF>";
        } else if (byte >= 0x20 && byte < 0x7F) {
            out += c;
        } else {
            out += "<0x";
            out += hex[byte / 16];
            out += hex[byte % 16];
            out += '>';
        }
    }
    return out;
}

}  // namespace crimpgate
