// Whether an assembly suits the place where it will work: what the machine asks of it against what hose, fittings and
// the published rules bear. It informs; the machine's designer decides (R13).
//
// Every topic is answered every time: by a stop, a warning, "holds", or a note that it was not checked because nothing
// was stated. Silence is never a pass. Whole numbers decide (R4): lengths in nm, pressures in kPa, degrees whole;
// whatever has to be rounded is rounded towards asking for more, and a value on a limit is inside it.
//
// Each finding names its rule (its code), where the rule comes from, and how sure that is. The sources: DGUV Regel
// 113-020 (straight lead, ages), scopes of EN 853, 856 and 857 (temperatures, fluids), SAE J517 (rating, change of
// length), SAE J343:2016 and ISO 6803 (length of a bend), a US Army aviation training manual (slack). A figure that
// is from memory only (every hose diameter of the published tables) may warn and never stop.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "specs/assembly.h"
#include "specs/lot.h"

namespace crimpgate {

// HFA, HFB and HFC are water based; HFD is free of water (R, S, T: phosphate esters and the like).
enum class Fluid { mineral_oil, hfa, hfb, hfc, hfd, ester, water, fuel, other };

// The rubber or plastic that touches the fluid: nitrile, chloroprene, EPDM, fluororubber, PTFE, polyamide or polyester.
enum class TubeCompound { nbr, cr, epdm, fkm, ptfe, thermoplastic, other };

// hard: pressure that comes and goes all day, heat, movement without rest, weather.
enum class Duty { normal, hard };

// What the machine asks of the assembly. Everything may be left out; what is left out is named as not checked.
struct Application {
    std::optional<Pressure> highest_pressure;  // with its spikes
    std::optional<Pressure> vacuum;            // below the atmosphere, as a positive figure; 0: none
    std::optional<Pressure> hose_vacuum;       // what the hose's maker allows, where somebody read it there
    std::optional<std::int64_t> fluid_min_c;   // whole degrees Celsius
    std::optional<std::int64_t> fluid_max_c;
    std::optional<std::int64_t> ambient_min_c;
    std::optional<std::int64_t> ambient_max_c;
    std::optional<Fluid> fluid;
    std::optional<TubeCompound> tube;
    std::optional<Length> bend_radius;           // as installed, inside the bend
    std::optional<std::int64_t> bend_angle_deg;  // 0: runs straight
    std::optional<Length> straight_a;            // before the bend, from the shell's edge
    std::optional<Length> straight_b;
    std::optional<Length> distance;               // between the fitting ends as installed, in a straight line
    std::optional<Length> slack;                  // how much longer the hose is than the way that it takes
    std::optional<std::int64_t> planes;           // in how many planes it moves; 0: it does not move
    std::optional<std::int64_t> orientation_deg;  // that the machine wants, read as the order's
    std::optional<Duty> duty;
    bool operator==(const Application&) const = default;
};

// The assembly that is held against it.
struct AssemblyFacts {
    SpecRow row_a;
    SpecRow row_b;
    AssemblyRating rating;
    Length overall;
    Length shortest;  // that the length tolerance lets through; `overall` where none is known
    Length cut;
    std::optional<std::int64_t> orientation_deg;  // as ordered or as made
    std::vector<Lot> hose_lots;
    Date day{};  // of assembly
    std::int64_t hose_age_limit_years = usual_hose_age_limit_years;

    // The hose between the two shells: cut length less both depths.
    Length free() const { return cut - row_a.depth.nominal - row_b.depth.nominal; }
};

enum class FindingSeverity { stop, warn, note, holds };

// How sure the rule's figure is: from the maker's own spec row; several public pages agree; one page; from memory;
// common practice without a source. "row", "A", "B", "M", "common practice".
enum class SourceMark { spec_row, several_pages, one_page, from_memory, common_practice };
std::string_view text_of(SourceMark mark);

struct ApplicationFinding {
    Message what;  // the code names the rule, the details hold what was found and what was asked
    FindingSeverity severity = FindingSeverity::note;
    std::string source;  // the document, "DGUV Regel 113-020"; empty where nothing was checked
    SourceMark confidence = SourceMark::common_practice;
    bool operator==(const ApplicationFinding&) const = default;
};

// In the order of the topics: pressure, duty, fluid, temperatures, vacuum, bend radius, straight leads, length of the
// bend, length under pressure, slack, movement, orientation, age of each hose lot.
std::vector<ApplicationFinding> check_application(const Application& application, const AssemblyFacts& assembly);

bool has_stop(const std::vector<ApplicationFinding>& findings);

// --- the figures behind it, for whoever shows or tests them ---

// The straight run that a hose needs before it bends: the larger of 1.5 times its outside diameter (DGUV Regel 113-020
// figure 9) and twice its bore, the bore being dash/16 in (one trade page). Half a nanometre is rounded up.
Length straight_lead(Length hose_od, std::int64_t dash);

// The hose's outside diameter: of the spec row where it names one over the cover, else the largest of the published
// standard, which is from memory; nothing where neither is known.
struct HoseDiameter {
    Length od;
    bool from_row = false;
};
std::optional<HoseDiameter> hose_diameter(const SpecRow& row);

// What an arc of that radius (inside the bend) takes, along the middle of the hose: pi (r + d/2) angle/180, after the
// free lengths of SAE J343:2016 and ISO 6803. pi is taken as 355/113, which is above it by less than one part in ten
// million, and the whole is rounded up to the next 0.1 mm. Angles 0 to 360.
Length arc_length(Length radius, Length hose_od, std::int64_t angle_deg);

// How much shorter and longer a hose becomes at its working pressure, per thousand of its free length: +20 / -40 for
// wire braid and spiral in general (EN 853, 856, 857, SAE J517), +20 / -20 for R12, R13 and R15 (from memory).
struct LengthChange {
    std::int64_t shorter_permille = 40;
    std::int64_t longer_permille = 20;
    SourceMark mark = SourceMark::several_pages;
    std::string_view source = "EN 853, EN 856, EN 857, SAE J517";
};
LengthChange length_change(std::string_view standard);

}  // namespace crimpgate
