#include "station/words/finding_words.h"

namespace crimpgate {

namespace {

class Words {
  public:
    Words(const Finding& finding, int places, ShownUnit unit) : f_(finding), places_(places), unit_(unit) {}

    Message make() const {
        Message m = sentence();
        if (unit_ == ShownUnit::inch && f_.value) m.with("unit", "in");
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
        if (!length) return "-";
        return unit_ == ShownUnit::inch ? length->to_inch_text(places) : length->to_mm_text(places);
    }
    std::string shown(const std::optional<Length>& length) const { return shown(length, places_); }

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
        const auto& limit = to_lower ? f_.lower : f_.upper;
        Message m = f_.verdict == Verdict::uncertain ? std::move(uncertain)
                    : conforms()                     ? std::move(good)
                    : to_lower                       ? std::move(below)
                                                     : std::move(above);
        m.with("value", shown(f_.value));
        if (conforms()) {
            m.with("lower", shown(f_.lower ? f_.lower : Length{})).with("upper", shown(f_.upper));
        } else {
            m.with("limit", shown(limit ? limit : Length{}));
            m.with("distance", shown(f_.margin ? std::optional(f_.margin->abs()) : std::nullopt));
        }
        if (f_.verdict == Verdict::uncertain) m.with("guard", shown(f_.guard, places_ + 1));
        return m;
    }

    const Finding& f_;
    int places_;
    ShownUnit unit_;
};

}  // namespace

Message words_of(const Finding& finding, int places, ShownUnit unit) {
    return Words(finding, places, unit).make();
}

}  // namespace crimpgate
