#include "station/words/finding_words.h"

namespace crimpgate {

namespace {

class Words {
  public:
    Words(const Finding& finding, int places, ShownUnit unit)
        : f_(finding), unit_(length_unit(unit)), places_(enough(places)) {}

    Message make() const {
        Message m = sentence();
        if (unit_ == LengthUnit::inch && f_.value) m.with("unit", "in");
        return m;
    }

  private:
    Message sentence() const {
        switch (f_.what) {
            case Characteristic::skive_outer:
                return banded(message("finding.skive_outer"), message("finding.skive_outer_below"),
                              message("finding.skive_outer_above"), message("finding.skive_outer_uncertain"));
            case Characteristic::skive_inner:
                return banded(message("finding.skive_inner"), message("finding.skive_inner_below"),
                              message("finding.skive_inner_above"), message("finding.skive_inner_uncertain"));
            case Characteristic::depth:
                return banded(message("finding.depth"), message("finding.depth_below"), message("finding.depth_above"),
                              message("finding.depth_uncertain"));
            case Characteristic::lubricant:
                return conforms() ? message("finding.lubricant") : message("finding.lubricant_missing");
            case Characteristic::mark_before:
            case Characteristic::mark_after:
                return mark();
            case Characteristic::crimp_diameter:
                return banded(message("finding.crimp"), message("finding.crimp_below"), message("finding.crimp_above"),
                              message("finding.crimp_uncertain"))
                    .with("flat", std::to_string(f_.flat));
            case Characteristic::spread:
                return banded(message("finding.spread"), message("finding.spread_below"),
                              message("finding.spread_above"), message("finding.spread_uncertain"));
            case Characteristic::bore_pin:
                return conforms() ? message("finding.bore_pin") : message("finding.bore_pin_stopped");
        }
        return message("finding.depth");
    }

    bool conforms() const { return f_.verdict == Verdict::conforms; }
    std::string shown(const std::optional<Length>& length, int places) const {
        return length ? to_text(*length, unit_, places) : "-";
    }
    std::string shown(const std::optional<Length>& length) const { return shown(length, places_); }

    Length limit() const { return (f_.side == Side::below ? f_.lower : f_.upper).value_or(Length{}); }

    // The guard has one place more.
    bool looks_smaller(Length distance, Length guard, int places) const {
        const auto digits = [this](Length length, int n) { return parse_decimal(to_text(length, unit_, n))->digits; };
        return digits(distance, places) * 10 < digits(guard, places + 1);
    }

    // Places with which the sentence makes sense, `least` or more; never more than eight, and there nothing looks
    // alike.
    int enough(int least) const {
        if (conforms() || !f_.value) return least;
        int places = places_apart(*f_.value, limit(), unit_, least);
        if (!f_.margin) return places;
        const auto distance = f_.margin->abs();
        if (distance != Length{}) places = places_apart(distance, Length{}, unit_, places);
        if (f_.verdict == Verdict::uncertain && f_.guard && distance < *f_.guard)
            while (places < 8 && !looks_smaller(distance, *f_.guard, places))
                ++places;
        return places;
    }

    Message mark() const {
        if (f_.seen == MarkSeen::hidden) return message("finding.mark_hidden");
        if (f_.seen == MarkSeen::gap) return message("finding.mark_gap");
        if (f_.seen) return message("finding.mark_at_edge");
        return banded(message("finding.mark"), message("finding.mark_above"), message("finding.mark_above"),
                      message("finding.mark_uncertain"));
    }

    // The four ways in which a measured length can stand to its limits, with the figures each sentence needs.
    Message banded(Message good, Message below, Message above, Message uncertain) const {
        const bool to_lower = f_.side == Side::below;
        Message m = f_.verdict == Verdict::uncertain ? std::move(uncertain)
                    : conforms()                     ? std::move(good)
                    : to_lower                       ? std::move(below)
                                                     : std::move(above);
        m.with("value", shown(f_.value));
        if (conforms()) {
            m.with("lower", shown(f_.lower ? f_.lower : Length{})).with("upper", shown(f_.upper));
        } else {
            m.with("limit", shown(limit()));
            m.with("distance", shown(f_.margin ? std::optional(f_.margin->abs()) : std::nullopt));
        }
        if (f_.verdict == Verdict::uncertain) m.with("guard", shown(f_.guard, places_ + 1));
        return m;
    }

    const Finding& f_;
    LengthUnit unit_;
    int places_;
};

}  // namespace

Message words_of(const Finding& finding, int places, ShownUnit unit) {
    return Words(finding, places, unit).make();
}

}  // namespace crimpgate
