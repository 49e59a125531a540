// What the published hose standards ask of a hose, to hold a spec table against.
//
// EN 853 1SN and 2SN, EN 857 1SC and 2SC, EN 856 4SP and 4SH, R12 and R13, as reprinted on public pages; the standards
// themselves could not be opened, so each figure carries a mark that says how sure it is. These tables warn, they
// never decide: a spec row that contradicts one is shown to a person.
//
// Traps that the tables keep as printed:
// - printed proof and burst pressures are rounded (1SN -5: burst 850 bar, 4 x 215 is 860), so they are their own
// fields;
// - bar is the master; the standards' psi figures are rounded and never compared;
// - R12 is printed with several working pressures (276, 275 and 280 bar): the highest in print is kept beside it.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string_view>

#include "specs/length.h"
#include "specs/pressure.h"

namespace crimpgate {

// How sure a figure is. several_pages: two or more independent public pages agree; one_page: one public page seen;
// from_memory: widely reprinted, not confirmed; computed: the standard's factor (proof 2 x, burst 4 x) times the
// working pressure, since no printed figure was at hand.
enum class Confidence { several_pages, one_page, from_memory, computed };

// "A", "B", "M", and "C" for computed.
char mark_of(Confidence confidence);

struct PublishedHose {
    std::string_view standard;  // "EN 853 2SN"
    std::int64_t dash = 0;
    Length nominal_bore;
    Length bore_min;
    Length bore_max;
    Length od_min;  // over the cover; zero where the standard gives only a largest
    Length od_max;
    Length wire_min;  // over the wire
    Length wire_max;
    Pressure working_pressure;
    Pressure working_pressure_highest;  // in any edition; equal to working_pressure except for R12 and R13
    Pressure proof;
    Pressure burst;
    Length bend_radius;  // smallest, measured inside the bend
    Confidence working_pressure_mark = Confidence::from_memory;
    Confidence test_pressure_mark = Confidence::from_memory;  // proof and burst
    Confidence bend_mark = Confidence::from_memory;
    Confidence bore_mark = Confidence::from_memory;
    Confidence od_mark = Confidence::from_memory;
    // For oil, whole degrees Celsius (scopes of EN 853, 856 and 857: -40 to +100, R12 and R13 to +120).
    std::int64_t temperature_min_c = -40;
    std::int64_t temperature_max_c = 100;
};

// Every row, type by type, smallest size first. The rows live as long as the program.
std::span<const PublishedHose> published_hoses();

// The standard's own name ("EN 853 2SN") for the ways in which a hose's print or a catalogue writes it: blanks, dashes,
// slashes, "type", "DIN", "BS", a year and capitals do not matter, and the ISO and SAE names of the same hose count
// ("ISO 1436 2SN", "SAE 100R2AT", "EN 856 R12", "100R12"). Empty for a name that no table here has.
std::string_view published_standard(std::string_view written);

// That row, or nothing when the standard is not among the tables or has no such size.
std::optional<PublishedHose> find_hose(std::string_view standard, std::int64_t dash);

// The dash for a nominal size as printed: "DN 12", "DN12.5", "dn13" and "12.5" are all -8. Nothing for a size that
// the standards do not have.
std::optional<std::int64_t> dash_of_dn(std::string_view printed);

}  // namespace crimpgate
