#include "reports/tag_layout.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "reports/tag_setter.h"
#include "reports/tag_text.h"

namespace crimpgate {

namespace {

Result<void> check(const TagData& tag, const FontSet& fonts, int dpi) {
    if (dpi < 150 || dpi > 1200) return refuse(message("tag.bad_resolution").with("dpi", fmt::format("{}", dpi)));
    const auto serial_character = [](char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-'; };
    if (tag.serial.empty() || tag.serial.size() > 20 ||
        !std::all_of(tag.serial.begin(), tag.serial.end(), serial_character))
        return refuse(message("tag.bad_serial").with("serial", tag.serial));
    for (const auto& [field, text] : tag_text::given(tag)) {
        const auto ok = printable(text, fonts);
        if (ok) continue;
        const Message& why = ok.error();
        const bool damaged = why.code == "print.not_utf8";
        return refuse(message("tag.unprintable_field")
                          .with("field", field)
                          .with("code", damaged ? std::string_view("not UTF-8") : why.detail("code"))
                          .with("position", why.detail(damaged ? "byte" : "position")));
    }
    return {};
}

tl::unexpected<Message> does_not_fit(const TagData& tag) {
    std::string longest;
    std::size_t most = 0;
    for (const auto& [field, text] : tag_text::given(tag)) {
        const auto characters = decode_utf8(text);
        if (characters && characters->size() > most) {
            most = characters->size();
            longest = field;
        }
    }
    return refuse(message("tag.text_does_not_fit").with("field", longest).with("characters", fmt::format("{}", most)));
}

// One way to write the 2-D code; `last`: as tight as need be.
struct CodeChoice {
    Symbol symbol;
    bool last = false;
};

Result<std::vector<CodeChoice>> codes_of(const TagData& tag) {
    std::vector<CodeChoice> out;
    const auto add = [&](const std::string& text, QrLevel level, bool last) -> Result<void> {
        auto symbol = qr_code(text, level);
        if (!symbol) return refuse(symbol.error());
        out.push_back({std::move(*symbol), last});
        return {};
    };
    Result<void> added;
    if (tag.code_payload.empty()) {
        added = add(tag.serial, QrLevel::m, true);
        if (!added) return refuse(added.error());
        return out;
    }
    std::vector<std::string> texts{tag.code_payload};
    if (!tag.code_fallback.empty()) texts.push_back(tag.code_fallback);
    // A text beyond what a sturdy level holds has M.
    for (const auto& text : texts)
        for (const QrLevel level : {QrLevel::h, QrLevel::q})
            static_cast<void>(add(text, level, false));
    for (const auto& text : texts) {
        added = add(text, QrLevel::m, true);
        if (!added) return refuse(added.error());
    }
    return out;
}

// With type, gaps and codes given way by at most `tightest`, rows at no less than `least_scale` of their size.
Result<PageLayout> laid_out(const TagData& tag, TagSize size, const Symbol& bars, const Symbol& qr,
                            const FontSet& fonts, int dpi, double tightest, double least_scale) {
    constexpr int steps_per_one = 20;
    for (const double tightness : {0.0, 0.25, 0.5, 0.75, 1.0}) {
        if (tightness > tightest) break;
        const TagPlan plan = tag_plan(size, tightness);
        for (int step = static_cast<int>(std::lround(plan.largest_scale * steps_per_one));
             step >= static_cast<int>(std::lround(least_scale * steps_per_one)); --step) {
            const double scale = static_cast<double>(step) / steps_per_one;
            auto set = set_tag(tag, size, plan, scale, 0, bars, qr, fonts, dpi);
            if (!set) return refuse(set.error());
            if (set->spare < 0) continue;
            // What is left over goes between the sections, to keep them apart at a glance.
            const double extra = std::min(set->spare / (set->gaps + 0.7), 1.5);
            set = set_tag(tag, size, plan, scale, extra, bars, qr, fonts, dpi);
            if (!set) return refuse(set.error());
            return std::move(set->page);
        }
    }
    return does_not_fit(tag);
}

}  // namespace

TagFormat tag_format(TagSize size) {
    switch (size) {
        case TagSize::mm100x150:
            return {100, 150};
        case TagSize::mm100x50:
            return {100, 50};
        case TagSize::a6:
            return {105, 148};
    }
    return {};
}

Result<PageLayout> layout_tag(const TagData& tag, TagSize size, const FontSet& fonts, int dpi) {
    if (const auto ok = check(tag, fonts, dpi); !ok) return refuse(ok.error());
    const auto bars = code_128(tag.serial);
    if (!bars) return refuse(bars.error());
    const auto codes = codes_of(tag);
    if (!codes) return refuse(codes.error());
    // The words come first where they are many: a sturdier code may make them a little smaller, but not tighten all.
    std::optional<Message> failed;
    for (const auto& code : *codes) {
        auto page = code.last ? laid_out(tag, size, *bars, code.symbol, fonts, dpi, 1.0, 0.5)
                              : laid_out(tag, size, *bars, code.symbol, fonts, dpi, 0.5, 0.7);
        if (page) return page;
        // Too many words is said before too fine a code: a shorter name helps, another code was tried.
        if (!failed || failed->code == "tag.code_too_dense") failed = std::move(page.error());
    }
    return refuse(std::move(*failed));
}

}  // namespace crimpgate
