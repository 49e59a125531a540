#include "tools/cli/spec_row_text.h"

#include <fmt/format.h>

#include "specs/decimal.h"
#include "tools/cli/text_table.h"

namespace crimpgate::cli {

namespace {

std::string around(const Toleranced& size, const Lengths& lengths) {
    return fmt::format("{} -{}/+{}", lengths.text(size.nominal), lengths.text(size.minus), lengths.text(size.plus));
}

std::string rule_words(const DecisionRule& rule) {
    if (rule.kind == RuleKind::simple) return "simple acceptance, no guard";
    // Thousandths have the digits of micrometres in a millimetre.
    return fmt::format("guarded acceptance, {} standard uncertainties",
                       Lengths{}.text(Length::from_um(rule.guard_factor_thousandths)));
}

std::string dash_list(const std::vector<std::int64_t>& flats) {
    std::string out;
    for (const auto flat : flats)
        out += fmt::format("{}{}", out.empty() ? "" : ", ", flat);
    return out;
}

}  // namespace

std::string spec_row_text(const SpecRow& row, const Lengths& lengths) {
    std::string out = fmt::format("{} revision {}\n", row.spec_id, row.revision);
    const auto add = [&out](std::string_view name, const std::string& text) {
        out += fmt::format("    {:<14}{}\n", name, text);
    };
    add("hose", fmt::format("{} {} -{}, {}, rated {}, bend radius {}, {} to {} C", row.hose.maker, row.hose.type,
                            row.hose.dash, row.hose.standard.empty() ? "no standard named" : row.hose.standard,
                            row.hose.working_pressure.as_given, lengths.text(row.hose.bend_radius),
                            row.hose.temperature_min_c, row.hose.temperature_max_c));
    add("fitting", fmt::format("{} {} -{}, {} {} {}, rated {}", row.fitting.maker, row.fitting.series, row.fitting.dash,
                               row.fitting.end_family, row.fitting.end_form, row.fitting.end_size,
                               row.fitting.working_pressure.as_given));
    if (!row.pairing_approval.empty()) add("pairing", "approved: " + row.pairing_approval);
    add("crimper", fmt::format("{}, die set {} of {} segments, setting {}", row.crimper, row.die_set, row.die_segments,
                               row.setting));
    add("crimp", fmt::format("{} across flats {}, spread at most {}", around(row.crimp, lengths), dash_list(row.flats),
                             lengths.text(row.spread_limit)));
    add("depth", fmt::format("{}, mark within {} of the shell's edge, {}", around(row.depth, lengths),
                             lengths.text(row.mark_edge_limit),
                             row.mark_check == MarkCheck::by_sight ? "by sight" : "measured"));
    if (row.skive_outer) add("outer skive", around(*row.skive_outer, lengths));
    if (row.skive_inner) add("inner skive", around(*row.skive_inner, lengths));
    if (!row.lubricant.empty()) add("lubricant", row.lubricant);
    if (row.bore_pin) add("bore pin", lengths.text(*row.bore_pin) + " must pass after the crimp");
    add("judged by", rule_words(row.rule));
    add("re-crimps", fmt::format("{} allowed", row.recrimps_allowed));
    add("source", row.source);
    return out;
}

}  // namespace crimpgate::cli
