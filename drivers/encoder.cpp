// A frame built field by field in the pattern's order, the way the parser takes it apart.
#include "drivers/encoder.h"

#include <algorithm>
#include <cstdint>

#include "drivers/frame_parser.h"

namespace crimpgate {
namespace {

std::int64_t power_of_ten(int n) {
    std::int64_t p = 1;
    while (n-- > 0)
        p *= 10;
    return p;
}

// Digits with leading zeros and the mark; empty when they do not fit the field.
std::string number_text(std::int64_t digits, bool minus, int places, const DigitsField& field, bool blank) {
    auto text = std::to_string(digits);
    const auto width = static_cast<std::size_t>(field.count);
    if (text.size() > width) return {};
    text.insert(0, width - text.size(), '0');
    if (field.blank_padded || field.floating_sign) {
        const auto units_at = width - static_cast<std::size_t>(places) - 1;  // the digit before the mark always shows
        for (std::size_t i = 0; i < units_at && text[i] == '0'; ++i)
            text[i] = ' ';
    }
    if (blank) text.assign(width, ' ');
    if (field.mark) {
        const char mark = field.mark == DecimalMark::comma ? ',' : '.';
        text.insert(width - static_cast<std::size_t>(places), 1, mark);
    }
    if (field.floating_sign) {
        text.insert(0, 1, ' ');
        const auto first = text.find_first_not_of(' ');
        if (minus && !blank) text[first - 1] = '-';
    }
    return text;
}

const std::string* flag_word(const FlagField& field, GaugeFlag flag) {
    for (const auto& [meaning, word] : field.words)
        if (meaning == flag) return &word;
    return nullptr;
}

std::string framed(const Profile& profile, std::string payload, bool wrong_checksum) {
    std::string frame, stop;
    if (const auto* line = std::get_if<LineFraming>(&profile.framing)) {
        stop = line->terminator;
    } else if (const auto* fixed = std::get_if<FixedFraming>(&profile.framing)) {
        frame = fixed->start;
    } else {
        const auto& both = std::get<StartStopFraming>(profile.framing);
        frame = both.start;
        stop = both.stop;
    }
    frame += payload;
    if (profile.checksum) {
        auto sum = checksum_text(frame, *profile.checksum);
        if (wrong_checksum) sum.back() = sum.back() == '0' ? '1' : '0';
        frame += sum;
    }
    return frame + stop;
}

struct FieldWriter {
    std::string& out;
    const std::string& number;
    bool minus;
    int places;
    LengthUnit unit;
    GaugeFlag& flag;  // becomes ok once it is written

    void operator()(const LiteralField& f) { out += f.text; }
    void operator()(const SignField& f) { out += minus ? f.minus.front() : f.plus.front(); }
    void operator()(const DigitsField&) { out += number; }
    void operator()(const PlacesField&) { out += std::to_string(places); }
    void operator()(const UnitField& f) { out += unit == LengthUnit::mm ? f.mm.front() : f.inch.front(); }
    void operator()(const FlagField& f) {
        const auto* word = flag_word(f, flag);
        if (word) flag = GaugeFlag::ok;
        out += word ? *word : *flag_word(f, GaugeFlag::ok);
    }
    void operator()(const IgnoredField& f) { out.append(static_cast<std::size_t>(f.count), ' '); }
};

}  // namespace

Result<std::string> encode_reading(const Profile& profile, Length value, LengthUnit unit, EncodeFlags flags) {
    const auto& form = profile.form(unit);
    if (!form) return refuse(message("driver.encode_unit").with("profile", profile.id));
    if (flags.wrong_checksum && !profile.checksum)
        return refuse(message("driver.encode_flag").with("profile", profile.id));
    if (value.nm() % form->resolution.nm() != 0)
        return refuse(message("driver.encode_step").with("profile", profile.id));
    const bool minus = value.nm() < 0;
    if (minus && !profile.negative_possible) return refuse(message("driver.encode_sign").with("profile", profile.id));

    const auto nm_per_unit = unit == LengthUnit::mm ? Length::nm_per_mm : Length::nm_per_inch;
    const auto nm_per_digit = nm_per_unit / power_of_ten(form->places);  // whole: parse_profile made sure
    std::string number;
    for (const auto& field : profile.pattern) {
        if (const auto* digits = std::get_if<DigitsField>(&field))
            number = number_text(value.abs().nm() / nm_per_digit, minus, form->places, *digits, flags.blank_digits);
    }
    if (number.empty()) return refuse(message("driver.encode_range").with("profile", profile.id));

    std::string payload;
    auto flag = flags.flag;
    FieldWriter write{payload, number, minus, form->places, unit, flag};
    for (const auto& field : profile.pattern)
        std::visit(write, field);
    if (flag != GaugeFlag::ok) {  // no field says it: a gauge with such a notice sends that alone
        const auto notice = std::find_if(profile.notices.begin(), profile.notices.end(),
                                         [&](const Notice& n) { return n.meaning == flag; });
        if (notice == profile.notices.end()) return refuse(message("driver.encode_flag").with("profile", profile.id));
        payload = notice->text;
    }
    return framed(profile, std::move(payload), flags.wrong_checksum);
}

}  // namespace crimpgate
