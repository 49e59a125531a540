// The rule behind every check here: no frame, and no frame that has lost a byte, may be read in two ways.
#include "drivers/profile_check.h"

#include <algorithm>
#include <cstdint>

namespace crimpgate {
namespace {

template <class Field>
std::vector<const Field*> fields_of(const Profile& profile) {
    std::vector<const Field*> out;
    for (const auto& field : profile.pattern)
        if (const auto* found = std::get_if<Field>(&field)) out.push_back(found);
    return out;
}

// A word inside another could be what is left of it.
void check_words(const std::vector<std::string>& words, const std::string& what, std::vector<std::string>& faults) {
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (words[i].empty()) faults.push_back("an empty word in the " + what + " field");
        for (std::size_t j = 0; j < words.size(); ++j) {
            if (i != j && !words[i].empty() && words[j].find(words[i]) != std::string::npos)
                faults.push_back("the words \"" + words[i] + "\" and \"" + words[j] + "\" of the " + what +
                                 " field can be mistaken for each other");
        }
    }
}

void check_fields(const Profile& profile, std::vector<std::string>& faults) {
    const auto digits = fields_of<DigitsField>(profile);
    const auto signs = fields_of<SignField>(profile);
    const auto units = fields_of<UnitField>(profile);
    const auto places = fields_of<PlacesField>(profile);
    if (digits.size() != 1) faults.push_back("exactly one digits field is needed");
    if (signs.size() > 1) faults.push_back("more than one sign field");
    if (units.size() > 1) faults.push_back("more than one unit field");
    if (places.size() > 1) faults.push_back("more than one places field");
    if (!places.empty() && !digits.empty() && digits.front()->mark)
        faults.push_back("a places field is only for digits without a mark");
    const bool floating = !digits.empty() && digits.front()->floating_sign;
    if (floating && !signs.empty()) faults.push_back("a sign field and a floating sign: which one counts?");
    if (profile.negative_possible && signs.empty() && !floating)
        faults.push_back("negative values need a sign field or a floating sign");
    for (const auto* sign : signs) {
        if (sign->plus.empty() || sign->minus.empty())
            faults.push_back("a sign field needs bytes for plus and for minus");
        if (sign->plus.find_first_of(sign->minus) != std::string::npos)
            faults.push_back("a byte is both plus and minus");
    }
    for (const auto* literal : fields_of<LiteralField>(profile))
        if (literal->text.empty()) faults.push_back("an empty literal field");
    for (const auto* unit : units) {
        auto words = unit->mm;
        words.insert(words.end(), unit->inch.begin(), unit->inch.end());
        if (unit->mm.empty() || unit->inch.empty()) faults.push_back("a unit field needs words for mm and for inch");
        check_words(words, "unit", faults);
    }
    for (const auto* flag : fields_of<FlagField>(profile)) {
        std::vector<std::string> words;
        bool has_ok = false;
        for (const auto& [meaning, word] : flag->words) {
            words.push_back(word);
            has_ok |= meaning == GaugeFlag::ok;
        }
        if (!has_ok) faults.push_back("a flag field needs a word for ok");
        check_words(words, "flag", faults);
    }
}

void check_units(const Profile& profile, std::vector<std::string>& faults) {
    const bool as_sent = profile.unit_policy == UnitPolicy::as_sent;
    if (as_sent == fields_of<UnitField>(profile).empty())
        faults.push_back(as_sent ? "unit policy \"as_sent\" needs a unit field"
                                 : "unit policy \"fixed\" allows no unit field: it would be ignored");
    const auto digits = fields_of<DigitsField>(profile);
    for (const auto unit : {LengthUnit::mm, LengthUnit::inch}) {
        const auto& form = profile.form(unit);
        if (!form) continue;
        std::int64_t step = unit == LengthUnit::mm ? Length::nm_per_mm : Length::nm_per_inch;
        for (int i = 0; i < form->places; ++i)
            step /= 10;
        if (form->resolution.nm() <= 0 || form->resolution.nm() % step != 0)
            faults.push_back("the resolution must be a multiple of the last place");
        for (const auto* field : digits) {
            // Between two digits: a mark at either end is what a lost digit leaves behind.
            if (form->places >= field->count || (field->mark && form->places == 0))
                faults.push_back("the mark must stand between two digits");
        }
    }
}

void check_framing(const Profile& profile, std::vector<std::string>& faults) {
    const bool fixed = std::holds_alternative<FixedFraming>(profile.framing);
    if (profile.checksum && !profile.checksum->as_hex && !fixed)
        faults.push_back("a checksum of one byte may look like the end of a frame: it needs fixed-length framing");
    if (const auto* both = std::get_if<StartStopFraming>(&profile.framing)) {
        if (both->start.find(both->stop) != std::string::npos || both->stop.find(both->start) != std::string::npos)
            faults.push_back("start and stop can be mistaken for each other");
    }
    if (!fixed) return;
    // A fixed length that the pattern cannot fill would refuse every frame.
    std::size_t least = std::get<FixedFraming>(profile.framing).start.size();
    if (profile.checksum) least += profile.checksum->as_hex ? 2 : 1;
    for (const auto& field : profile.pattern) {
        if (const auto* literal = std::get_if<LiteralField>(&field)) least += literal->text.size();
        if (const auto* digits = std::get_if<DigitsField>(&field)) least += digits->width();
        if (const auto* ignored = std::get_if<IgnoredField>(&field)) least += static_cast<std::size_t>(ignored->count);
        if (std::holds_alternative<SignField>(field) || std::holds_alternative<PlacesField>(field)) least += 1;
        if (const auto* unit = std::get_if<UnitField>(&field); unit && !unit->mm.empty())
            least += unit->mm.front().size();
        if (const auto* flag = std::get_if<FlagField>(&field); flag && !flag->words.empty())
            least += flag->words.front().second.size();
    }
    if (least != profile.longest_frame())
        faults.push_back("the fields fill " + std::to_string(least) + " bytes, the frame has " +
                         std::to_string(profile.longest_frame()));
}

void check_trigger(const Profile& profile, std::vector<std::string>& faults) {
    const auto* polled = std::get_if<Polled>(&profile.trigger);
    const auto* still = profile.stillness();
    if (polled && still && still->still_ms <= polled->interval_ms)
        faults.push_back("still_ms must be longer than interval_ms: one answer alone cannot be still");
    if (still && still->rearm_change <= still->within)
        faults.push_back("rearm_mm must be larger than still_within_mm: else a still value counts again and again");
}

}  // namespace

std::vector<std::string> pattern_faults(const Profile& profile) {
    std::vector<std::string> faults;
    check_fields(profile, faults);
    check_units(profile, faults);
    check_framing(profile, faults);
    check_trigger(profile, faults);
    if (profile.recordings.empty()) faults.push_back("a profile needs at least one recording");
    return faults;
}

}  // namespace crimpgate
