// The table of causes. Numbers of weights: failure_modes.h. Kept as rows, so that it can be read against its sources.
#include "specs/failure_modes.h"

#include <algorithm>

namespace crimpgate {

namespace {

using enum SourceKey;
using Symptom = SymptomWeight;

constexpr SourceKey not_pushed_home_sources[] = {failure_pages, trade_journal_guide, navy_manuals, machine_manual};
constexpr Symptom not_pushed_home_symptoms[] = {{"grip", "none", telling},       {"grip", "last_missing", telling},
                                                {"mark", "gap", telling},        {"place", "came_off", supporting},
                                                {"shell", "moved", supporting},  {"place", "between", hint},
                                                {"mark", "no_mark", hint},       {"mark", "hidden", hint},
                                                {"hours", "first", hint},        {"mark", "at_edge", against},
                                                {"place", "shell_lip", against}, {"grip", "deep_full", excludes},
                                                {"place", "body", excludes},     {"place", "bend_outside", excludes},
                                                {"place", "seat", excludes}};
constexpr SourceKey crimp_too_large_sources[] = {failure_pages, sae_j1273, iso_17165_2, machine_manual};
constexpr Symptom crimp_too_large_symptoms[] = {{"grip", "shallow_full", telling}, {"place", "came_off", supporting},
                                                {"place", "between", supporting},  {"opening", "sweating", supporting},
                                                {"shell", "moved", supporting},    {"leak", "cold", supporting},
                                                {"hours", "first", hint},          {"grip", "deep_full", against},
                                                {"grip", "none", against},         {"shell", "ridges", against},
                                                {"shell", "pin_stops", against},   {"place", "shell_lip", against},
                                                {"place", "body", excludes},       {"place", "bend_outside", excludes},
                                                {"place", "seat", excludes}};
constexpr SourceKey crimp_too_small_sources[] = {failure_pages, common_practice};
constexpr Symptom crimp_too_small_symptoms[] = {{"shell", "cracked", telling},
                                                {"shell", "ridges", telling},
                                                {"shell", "pin_stops", telling},
                                                {"wires", "crushed", telling},
                                                {"place", "fitting_part", supporting},
                                                {"bore", "restricted", supporting},
                                                {"place", "shell_lip", hint},
                                                {"wires", "broken_at_lip", hint},
                                                {"place", "between", hint},
                                                {"place", "came_off", hint},
                                                {"tube", "cut_by_stem", hint},
                                                {"machine", "slow", hint},
                                                {"grip", "shallow_full", against},
                                                {"shell", "sound", against},
                                                {"place", "body", excludes},
                                                {"place", "bend_outside", excludes},
                                                {"place", "seat", excludes}};
constexpr SourceKey wrong_parts_sources[] = {failure_pages, sae_j1273, iso_17165_2, dguv_113_020};
constexpr Symptom wrong_parts_symptoms[] = {{"grip", "shallow_full", supporting},
                                            {"place", "between", supporting},
                                            {"place", "fitting_part", supporting},
                                            {"shell", "cracked", supporting},
                                            {"leak", "cold", supporting},
                                            {"place", "came_off", hint},
                                            {"hours", "first", hint},
                                            {"place", "body", excludes},
                                            {"place", "bend_outside", excludes},
                                            {"place", "seat", excludes}};
constexpr SourceKey dry_assembly_sources[] = {common_practice};
constexpr Symptom dry_assembly_symptoms[] = {{"tube", "cut_by_stem", telling},
                                             {"place", "near_fitting", supporting},
                                             {"opening", "sweating", supporting},
                                             {"cover", "unhurt", supporting, "wires", "rusty"},
                                             {"cover", "blisters", supporting, "place", "near_fitting"},
                                             {"layline", "spiral", supporting, "wires", "some_broken"},
                                             {"wires", "rusty", hint},
                                             {"cover", "blisters", hint},
                                             {"place", "body", against},
                                             {"place", "bend_outside", against},
                                             {"tube", "sound", against},
                                             {"cover", "worn", against},
                                             {"cover", "lifted", against},
                                             {"place", "seat", excludes}};
constexpr SourceKey nicked_in_cutting_sources[] = {common_practice};
constexpr Symptom nicked_in_cutting_symptoms[] = {{"cover", "lifted", telling},
                                                  {"wires", "rusty", telling, "place", "near_fitting"},
                                                  {"place", "near_fitting", supporting},
                                                  {"cover", "cut", supporting, "place", "near_fitting"},
                                                  {"wires", "rusty", hint},
                                                  {"cover", "unhurt", against},
                                                  {"place", "body", against},
                                                  {"place", "bend_outside", against},
                                                  {"place", "seat", excludes},
                                                  {"place", "came_off", excludes}};
constexpr SourceKey seat_or_thread_sources[] = {failure_pages};
constexpr Symptom seat_or_thread_symptoms[] = {
    {"place", "seat", telling},          {"seat", "wrong_pair", telling}, {"seat", "damaged", telling},
    {"seat", "loose", telling},          {"seat", "seal_gone", telling},  {"place", "near_fitting", against},
    {"place", "between", against},       {"seat", "good", excludes},      {"place", "body", excludes},
    {"place", "bend_outside", excludes}, {"place", "came_off", excludes}, {"place", "shell_lip", excludes}};
constexpr SourceKey bent_at_fitting_sources[] = {failure_pages, dguv_113_020, installation_page, page_read_this};
constexpr Symptom bent_at_fitting_symptoms[] = {
    {"routing", "bent_at_shell", telling}, {"wires", "broken_at_lip", telling},
    {"place", "shell_lip", telling},       {"movement", "flexes", supporting, "place", "shell_lip"},
    {"movement", "flexes", hint},          {"place", "near_fitting", hint},
    {"routing", "free", against},          {"place", "body", against},
    {"wires", "whole", against},           {"place", "seat", excludes},
    {"place", "bend_outside", excludes}};
constexpr SourceKey too_short_sources[] = {failure_pages, cut_length_page, page_read_this, navy_manuals};
constexpr Symptom too_short_symptoms[] = {{"routing", "pulled", telling},
                                          {"place", "shell_lip", supporting},
                                          {"wires", "broken_at_lip", supporting},
                                          {"place", "came_off", supporting, "routing", "pulled"},
                                          {"shell", "moved", hint},
                                          {"leak", "moving", hint},
                                          {"movement", "flexes", hint},
                                          {"routing", "free", against},
                                          {"place", "body", against},
                                          {"place", "seat", excludes},
                                          {"place", "bend_outside", excludes}};
constexpr SourceKey flex_fatigue_sources[] = {failure_pages, common_practice};
constexpr Symptom flex_fatigue_symptoms[] = {
    {"wires", "broken_random", telling}, {"wires", "broken_one_place", telling}, {"opening", "ragged", supporting},
    {"movement", "flexes", supporting},  {"place", "body", supporting},          {"movement", "vibrates", hint},
    {"hours", "to_six_years", hint},     {"hours", "over_six_years", hint},      {"pressure", "hammer", hint},
    {"opening", "clean_one", against},   {"opening", "clean_several", against},  {"hours", "first", against},
    {"movement", "still", against},      {"wires", "whole", excludes},           {"place", "seat", excludes}};
constexpr SourceKey over_pressure_sources[] = {repair_shop_page, common_practice};
constexpr Symptom over_pressure_symptoms[] = {{"opening", "clean_one", telling}, {"opening", "clean_several", telling},
                                              {"pressure", "over", telling},     {"pressure", "relief_bad", telling},
                                              {"wires", "whole", supporting},    {"pressure", "hammer", supporting},
                                              {"place", "body", hint},           {"cover", "unhurt", hint},
                                              {"pressure", "under", against},    {"opening", "pin_hole", against},
                                              {"opening", "sweating", against},  {"wires", "broken_one_place", against},
                                              {"cover", "worn", against},        {"wires", "broken_random", excludes},
                                              {"place", "seat", excludes},       {"line", "suction", excludes}};
constexpr SourceKey bend_too_tight_sources[] = {failure_pages, en_853_clauses};
constexpr Symptom bend_too_tight_symptoms[] = {
    {"place", "bend_outside", telling}, {"shape", "kinked", telling},    {"routing", "tight_bend", telling},
    {"routing", "free", against},       {"shape", "natural", against},   {"place", "shell_lip", against},
    {"place", "seat", excludes},        {"place", "came_off", excludes}, {"place", "between", excludes}};
constexpr SourceKey twisted_sources[] = {failure_pages, page_troubleshooting, repair_shop_page, navy_manuals};
constexpr Symptom twisted_symptoms[] = {{"layline", "spiral", telling},     {"routing", "twisted_in", telling},
                                        {"routing", "two_planes", telling}, {"wires", "some_broken", hint},
                                        {"layline", "straight", excludes},  {"place", "seat", excludes}};
constexpr SourceKey abrasion_sources[] = {failure_pages, navy_manuals};
constexpr Symptom abrasion_symptoms[] = {{"cover", "worn", telling},        {"routing", "rubs", telling},
                                         {"wires", "bright_worn", telling}, {"movement", "vibrates", supporting},
                                         {"wires", "rusty", hint},          {"routing", "free", against},
                                         {"cover", "unhurt", excludes},     {"place", "seat", excludes}};
constexpr SourceKey kinked_or_crushed_sources[] = {failure_pages, common_practice};
constexpr Symptom kinked_or_crushed_symptoms[] = {
    {"shape", "crushed", telling},       {"bore", "flattened", telling},
    {"shape", "kinked", supporting},     {"bore", "restricted", supporting},
    {"tube", "loose_piled", supporting}, {"machine", "noisy", hint},
    {"machine", "slow", hint},           {"cover", "cut", hint},
    {"shape", "natural", against},       {"bore", "open", against},
    {"place", "seat", excludes}};
constexpr SourceKey vacuum_sources[] = {failure_pages, common_practice};
constexpr Symptom vacuum_symptoms[] = {
    {"tube", "loose_piled", telling},  {"line", "suction", telling, "bore", "flattened"},
    {"bore", "flattened", supporting}, {"bore", "restricted", supporting},
    {"line", "suction", supporting},   {"machine", "noisy", supporting},
    {"shape", "crushed", hint},        {"bore", "open", against},
    {"line", "pressure", excludes},    {"place", "seat", excludes}};
constexpr SourceKey fluid_not_suited_sources[] = {failure_pages};
constexpr Symptom fluid_not_suited_symptoms[] = {
    {"tube", "swollen", telling},      {"tube", "washed_out", telling},   {"fluid", "other", telling},
    {"cover", "blisters", supporting}, {"machine", "debris", supporting}, {"machine", "slow", supporting},
    {"fluid", "planned", against},     {"tube", "sound", excludes},       {"place", "seat", excludes}};
constexpr SourceKey gas_through_tube_sources[] = {failure_pages};
constexpr Symptom gas_through_tube_symptoms[] = {{"cover", "blisters", telling},  {"fluid", "gas", telling},
                                                 {"fluid", "planned", against},   {"tube", "swollen", against},
                                                 {"tube", "washed_out", against}, {"cover", "unhurt", excludes},
                                                 {"place", "seat", excludes}};
constexpr SourceKey jet_erosion_sources[] = {failure_pages, common_practice};
constexpr Symptom jet_erosion_symptoms[] = {{"tube", "jet_hole", telling},     {"opening", "pin_hole", telling},
                                            {"fluid", "dirty", supporting},    {"fluid", "fast", supporting},
                                            {"cover", "blisters", hint},       {"place", "bend_outside", hint},
                                            {"opening", "clean_one", against}, {"opening", "clean_several", against},
                                            {"tube", "sound", excludes},       {"place", "seat", excludes}};
constexpr SourceKey heat_sources[] = {failure_pages, page_troubleshooting};
constexpr Symptom heat_symptoms[] = {
    {"rubber", "hard", telling},      {"temperature", "hot", telling}, {"routing", "heat_near", telling},
    {"tube", "hardened", supporting}, {"cover", "hard", supporting},   {"cracks", "through", supporting},
    {"leak", "cold", hint},           {"place", "between", hint},      {"temperature", "within", against},
    {"rubber", "soft", excludes},     {"place", "seat", excludes}};
constexpr SourceKey air_in_oil_sources[] = {common_practice};
constexpr Symptom air_in_oil_symptoms[] = {{"fluid", "aerated", telling},    {"rubber", "hard", supporting},
                                           {"tube", "hardened", supporting}, {"cover", "hard", supporting},
                                           {"machine", "noisy", supporting}, {"fluid", "planned", against},
                                           {"rubber", "soft", excludes},     {"place", "seat", excludes}};
constexpr SourceKey bent_cold_sources[] = {common_practice};
constexpr Symptom bent_cold_symptoms[] = {
    {"temperature", "cold", telling},  {"cracks", "through", telling, "rubber", "soft"},
    {"cracks", "through", supporting}, {"temperature", "within", against},
    {"cracks", "none", against},       {"rubber", "hard", excludes},
    {"cracks", "tube_only", excludes}, {"place", "seat", excludes}};
constexpr SourceKey dry_air_sources[] = {common_practice};
constexpr Symptom dry_air_symptoms[] = {{"cracks", "tube_only", telling},
                                        {"fluid", "dry_air", telling},
                                        {"fluid", "gas", supporting},
                                        {"under_fittings", "no", supporting},
                                        {"rubber", "soft", hint, "cracks", "tube_only"},
                                        {"under_fittings", "yes", against},
                                        {"rubber", "hard", against},
                                        {"fluid", "planned", against},
                                        {"cracks", "none", excludes},
                                        {"cracks", "through", excludes},
                                        {"place", "seat", excludes}};
constexpr SourceKey old_age_sources[] = {failure_pages, iso_8331_din_20066};
constexpr Symptom old_age_symptoms[] = {{"hours", "over_six_years", telling}, {"wires", "broken_one_place", supporting},
                                        {"rubber", "hard", supporting},       {"cover", "hard", supporting},
                                        {"cracks", "through", hint},          {"opening", "ragged", hint},
                                        {"tube", "hardened", hint},           {"hours", "first_year", against},
                                        {"hours", "first", excludes},         {"rubber", "soft", excludes},
                                        {"place", "seat", excludes}};
constexpr SourceKey poor_adhesion_sources[] = {common_practice};
constexpr Symptom poor_adhesion_symptoms[] = {{"tube", "loose_piled", supporting}, {"cover", "lifted", hint},
                                              {"cover", "blisters", hint},         {"hours", "first", hint},
                                              {"bore", "flattened", hint},         {"hours", "over_six_years", against},
                                              {"tube", "sound", against},          {"place", "seat", excludes}};

constexpr AtRisk not_pushed_home_risk[] = {{SiblingGroup::operator_shift, "returned.risk.habit"},
                                           {SiblingGroup::gauge_since_proof, "returned.risk.gauge"},
                                           {SiblingGroup::application, "returned.risk.same_order"}};
constexpr AtRisk crimped_alike[] = {{SiblingGroup::setup, "returned.risk.setup"},
                                    {SiblingGroup::gauge_since_proof, "returned.risk.gauge"},
                                    {SiblingGroup::hose_lot, "returned.risk.hose_size"},
                                    {SiblingGroup::fitting_lot, "returned.risk.shell_size"}};
constexpr AtRisk wrong_parts_risk[] = {{SiblingGroup::application, "returned.risk.same_order"},
                                       {SiblingGroup::operator_shift, "returned.risk.habit"},
                                       {SiblingGroup::fitting_lot, "returned.risk.shell_size"}};
constexpr AtRisk dry_assembly_risk[] = {{SiblingGroup::operator_shift, "returned.risk.habit"},
                                        {SiblingGroup::application, "returned.risk.same_order"}};
constexpr AtRisk nicked_in_cutting_risk[] = {{SiblingGroup::operator_shift, "returned.risk.habit"},
                                             {SiblingGroup::setup, "returned.risk.setup"}};
constexpr AtRisk seat_or_thread_risk[] = {{SiblingGroup::application, "returned.risk.application"},
                                          {SiblingGroup::fitting_lot, "returned.risk.seat"}};
constexpr AtRisk used_alike[] = {{SiblingGroup::application, "returned.risk.application"}};
constexpr AtRisk twisted_risk[] = {{SiblingGroup::application, "returned.risk.application"},
                                   {SiblingGroup::operator_shift, "returned.risk.twist"}};
constexpr AtRisk old_age_risk[] = {{SiblingGroup::hose_lot, "returned.risk.same_age"},
                                   {SiblingGroup::application, "returned.risk.application"}};
constexpr AtRisk poor_adhesion_risk[] = {{SiblingGroup::hose_lot, "returned.risk.hose_made"}};

constexpr FailureMode modes[] = {
    {"not_pushed_home", FaultOf::bench, "returned.mode.not_pushed_home", "returned.bench.not_pushed_home",
     "returned.use.replace", RowMark::several_pages, not_pushed_home_sources, not_pushed_home_symptoms,
     not_pushed_home_risk},
    {"crimp_too_large", FaultOf::bench, "returned.mode.crimp_too_large", "returned.bench.crimp_too_large",
     "returned.use.replace", RowMark::several_pages, crimp_too_large_sources, crimp_too_large_symptoms, crimped_alike},
    {"crimp_too_small", FaultOf::bench, "returned.mode.crimp_too_small", "returned.bench.crimp_too_small",
     "returned.use.replace", RowMark::one_page, crimp_too_small_sources, crimp_too_small_symptoms, crimped_alike},
    {"wrong_parts", FaultOf::bench, "returned.mode.wrong_parts", "returned.bench.wrong_parts", "returned.use.replace",
     RowMark::several_pages, wrong_parts_sources, wrong_parts_symptoms, wrong_parts_risk},
    {"dry_assembly", FaultOf::bench, "returned.mode.dry_assembly", "returned.bench.dry_assembly",
     "returned.use.replace", RowMark::from_memory, dry_assembly_sources, dry_assembly_symptoms, dry_assembly_risk},
    {"nicked_in_cutting", FaultOf::bench, "returned.mode.nicked_in_cutting", "returned.bench.nicked_in_cutting",
     "returned.use.replace", RowMark::from_memory, nicked_in_cutting_sources, nicked_in_cutting_symptoms,
     nicked_in_cutting_risk},
    {"seat_or_thread", FaultOf::application, "returned.mode.seat_or_thread", "returned.bench.seat_or_thread",
     "returned.use.seat_or_thread", RowMark::one_page, seat_or_thread_sources, seat_or_thread_symptoms,
     seat_or_thread_risk},
    {"bent_at_fitting", FaultOf::application, "returned.mode.bent_at_fitting", "returned.bench.ask_at_order",
     "returned.use.bent_at_fitting", RowMark::several_pages, bent_at_fitting_sources, bent_at_fitting_symptoms,
     used_alike},
    {"too_short", FaultOf::application, "returned.mode.too_short", "returned.bench.length", "returned.use.too_short",
     RowMark::several_pages, too_short_sources, too_short_symptoms, used_alike},
    {"flex_fatigue", FaultOf::application, "returned.mode.flex_fatigue", "returned.bench.ask_at_order",
     "returned.use.flex_fatigue", RowMark::several_pages, flex_fatigue_sources, flex_fatigue_symptoms, used_alike},
    {"over_pressure", FaultOf::application, "returned.mode.over_pressure", "returned.bench.ask_at_order",
     "returned.use.over_pressure", RowMark::one_page, over_pressure_sources, over_pressure_symptoms, used_alike},
    {"bend_too_tight", FaultOf::application, "returned.mode.bend_too_tight", "returned.bench.ask_at_order",
     "returned.use.bend_too_tight", RowMark::several_pages, bend_too_tight_sources, bend_too_tight_symptoms,
     used_alike},
    {"twisted", FaultOf::application, "returned.mode.twisted", "returned.bench.twisted", "returned.use.twisted",
     RowMark::several_pages, twisted_sources, twisted_symptoms, twisted_risk},
    {"abrasion", FaultOf::application, "returned.mode.abrasion", "returned.bench.ask_at_order", "returned.use.abrasion",
     RowMark::several_pages, abrasion_sources, abrasion_symptoms, used_alike},
    {"kinked_or_crushed", FaultOf::application, "returned.mode.kinked_or_crushed", "returned.bench.ask_at_order",
     "returned.use.kinked_or_crushed", RowMark::one_page, kinked_or_crushed_sources, kinked_or_crushed_symptoms,
     used_alike},
    {"vacuum", FaultOf::application, "returned.mode.vacuum", "returned.bench.ask_at_order", "returned.use.vacuum",
     RowMark::one_page, vacuum_sources, vacuum_symptoms, used_alike},
    {"fluid_not_suited", FaultOf::application, "returned.mode.fluid_not_suited", "returned.bench.ask_at_order",
     "returned.use.fluid_not_suited", RowMark::several_pages, fluid_not_suited_sources, fluid_not_suited_symptoms,
     used_alike},
    {"gas_through_tube", FaultOf::application, "returned.mode.gas_through_tube", "returned.bench.pricked_cover",
     "returned.use.gas_through_tube", RowMark::several_pages, gas_through_tube_sources, gas_through_tube_symptoms,
     used_alike},
    {"jet_erosion", FaultOf::application, "returned.mode.jet_erosion", "returned.bench.jet_erosion",
     "returned.use.jet_erosion", RowMark::one_page, jet_erosion_sources, jet_erosion_symptoms, used_alike},
    {"heat", FaultOf::application, "returned.mode.heat", "returned.bench.ask_at_order", "returned.use.heat",
     RowMark::several_pages, heat_sources, heat_symptoms, used_alike},
    {"air_in_oil", FaultOf::application, "returned.mode.air_in_oil", "returned.bench.ask_at_order",
     "returned.use.air_in_oil", RowMark::from_memory, air_in_oil_sources, air_in_oil_symptoms, used_alike},
    {"bent_cold", FaultOf::application, "returned.mode.bent_cold", "returned.bench.ask_at_order",
     "returned.use.bent_cold", RowMark::from_memory, bent_cold_sources, bent_cold_symptoms, used_alike},
    {"dry_air", FaultOf::application, "returned.mode.dry_air", "returned.bench.ask_at_order", "returned.use.dry_air",
     RowMark::from_memory, dry_air_sources, dry_air_symptoms, used_alike},
    {"old_age", FaultOf::material, "returned.mode.old_age", "returned.bench.old_age", "returned.use.old_age",
     RowMark::several_pages, old_age_sources, old_age_symptoms, old_age_risk},
    {"poor_adhesion", FaultOf::material, "returned.mode.poor_adhesion", "returned.bench.poor_adhesion",
     "returned.use.poor_adhesion", RowMark::from_memory, poor_adhesion_sources, poor_adhesion_symptoms,
     poor_adhesion_risk},
};

}  // namespace

std::string_view words_of(SourceKey source) {
    switch (source) {
        case failure_pages:
            return "returned.source.failure_pages";
        case trade_journal_guide:
            return "returned.source.trade_journal_guide";
        case page_read_this:
            return "returned.source.page_read_this";
        case page_troubleshooting:
            return "returned.source.page_troubleshooting";
        case repair_shop_page:
            return "returned.source.repair_shop_page";
        case navy_manuals:
            return "returned.source.navy_manuals";
        case dguv_113_020:
            return "returned.source.dguv_113_020";
        case sae_j1273:
            return "returned.source.sae_j1273";
        case iso_17165_2:
            return "returned.source.iso_17165_2";
        case en_853_clauses:
            return "returned.source.en_853_clauses";
        case iso_8331_din_20066:
            return "returned.source.iso_8331_din_20066";
        case cut_length_page:
            return "returned.source.cut_length_page";
        case installation_page:
            return "returned.source.installation_page";
        case machine_manual:
            return "returned.source.machine_manual";
        case common_practice:
            return "returned.source.common_practice";
    }
    return {};
}

char mark_of(RowMark mark) {
    return mark == RowMark::several_pages ? 'A' : mark == RowMark::one_page ? 'B' : 'M';
}

std::string_view code_of(SiblingGroup group) {
    constexpr std::string_view names[sibling_groups] = {"hose_lot",          "fitting_lot",    "setup",
                                                        "gauge_since_proof", "operator_shift", "application"};
    return names[static_cast<std::size_t>(group)];
}

std::span<const FailureMode> failure_modes() {
    return modes;
}

const FailureMode* find_mode(std::string_view id) {
    const auto found = std::ranges::find(modes, id, &FailureMode::id);
    return found == std::end(modes) ? nullptr : &*found;
}

bool is_crimp_fault(std::string_view id) {
    return std::ranges::find(crimp_faults, id) != std::end(crimp_faults);
}

}  // namespace crimpgate
