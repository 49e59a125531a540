// A spec row: what the fitting's maker asks for, for exactly one hose and one fitting on one kind of crimper.
//
// A row that exists is right (spec_table.h refuses anything else). An assembly has two ends and so two rows, which
// may be the same. All lengths are exact; a record keeps the row as it was (R6).
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "specs/band.h"
#include "specs/pressure.h"

namespace crimpgate {

enum class Skive { none, outer, inner_and_outer };

// How a mark's place at the shell edge is established: seen by a person, or measured with the gauge.
enum class MarkCheck { by_sight, measured };

enum class RuleKind { guarded, simple };

// ISO 14253-1:2017 default: the band shrinks at either end by 1.65 standard uncertainties. Another factor is guarded
// acceptance after JCGM 106 with that factor; simple acceptance has none. See decision_rule.h.
struct DecisionRule {
    RuleKind kind = RuleKind::guarded;
    std::int64_t guard_factor_thousandths = 1650;  // 0 for simple
    bool operator==(const DecisionRule&) const = default;
};

struct HoseSpec {
    std::string maker;
    std::string type;       // the maker's name for it
    std::int64_t dash = 0;  // nominal bore in sixteenths of an inch
    std::string standard;   // "EN 853 2SN": the published table that it is made to, may be empty
    Rating working_pressure;
    Length bend_radius;  // smallest, measured inside the bend
    std::int64_t temperature_min_c = 0;
    std::int64_t temperature_max_c = 0;
    bool operator==(const HoseSpec&) const = default;
};

struct FittingSpec {
    std::string maker;
    std::string series;
    std::string end_family;  // "ISO 12151-2"; parts 1 to 6
    std::string end_form;    // "24 deg cone, female swivel, elbow 90"
    std::int64_t dash = 0;   // hose side
    std::string end_size;    // connector side: thread or tube with its series, "16S", "3/4"
    Rating working_pressure;
    Length cut_off;  // what stays outside the hose; cut length = overall length - both cut-offs
    bool operator==(const FittingSpec&) const = default;
};

// Shell and stem before the crimp, for the plausibility check of crimp_geometry.h only.
struct ShellAndStem {
    Length shell_od;
    Length shell_id;
    Length stem_od;
    Length stem_bore;
    Length stem_bore_after;
    Length hose_id;
    Length hose_od;  // over the cover for a no-skive build, over the wire for a skived one
    bool operator==(const ShellAndStem&) const = default;
};

struct SpecRow {
    std::string spec_id;
    std::string revision;
    HoseSpec hose;
    FittingSpec fitting;
    std::string pairing_approval;  // written approval where hose and fitting come from different makers, else empty

    std::string die_set;
    std::string crimper;
    std::string setting;
    std::int64_t die_segments = 0;

    Toleranced crimp;                 // on the flats between the segments' ridges, at mid-length
    std::vector<std::int64_t> flats;  // which flats to measure across, 1 = the marked one; one reading each
    Length spread_limit;              // largest minus smallest two-point diameter of an end

    Toleranced depth;        // of the mark, from the hose's end
    Length mark_edge_limit;  // how far the mark may stand from the shell's edge
    MarkCheck mark_check = MarkCheck::by_sight;

    Skive skive = Skive::none;
    std::optional<Toleranced> skive_outer;
    std::optional<Toleranced> skive_inner;
    std::string lubricant;           // empty: assemble dry
    std::optional<Length> bore_pin;  // go size; must pass the stem's bore after crimping

    std::int64_t recrimps_allowed = 0;  // 0 to 2
    DecisionRule rule;
    std::optional<ShellAndStem> geometry;
    std::string source;  // where the figures come from: the maker's sheet and its issue

    bool operator==(const SpecRow&) const = default;
};

}  // namespace crimpgate
