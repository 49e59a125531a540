// Judging one end of an assembly against its spec row.
//
// Pure and exact: integers decide. Every reading must lie in the band, the mean never rescues one (common practice;
// trade handbooks differ, we take the safe reading). Reasons come in the fixed order of the work, so that the screen,
// the tag and the record say the same.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "specs/decision_rule.h"
#include "specs/spec_row.h"

namespace crimpgate {

// In the order in which an end is worked.
enum class Characteristic {
    skive_outer,     // length of cover taken off
    skive_inner,     // length of tube taken off
    depth,           // of the mark from the hose's end
    lubricant,       // confirmed
    mark_before,     // mark at the shell's edge after pushing in, before the crimp
    crimp_diameter,  // one reading a place
    spread,          // of the crimp diameters; computed, never asked for
    mark_after,      // mark at the shell's edge after the crimp
    bore_pin,        // go pin passes the stem's bore
};

// "crimp_diameter": the enumerator's own name, for records and for the details of a message.
std::string_view code_of(Characteristic what);

enum class Side { none, below, above };

// A value as measured, with the standard uncertainty of the gauge that took it.
struct Measured {
    Length value;
    Length uncertainty;  // standard (k = 1), whole nm, rounded up
    bool operator==(const Measured&) const = default;
};

// What a person saw at the shell's edge.
enum class MarkSeen { at_edge, gap, hidden };

struct PlaceReading {
    std::int64_t flat = 0;
    Measured measured;
    bool operator==(const PlaceReading&) const = default;
};

// What is known of an end so far. A measured mark is its distance from the shell's edge, never negative; one that is
// hidden inside the shell cannot be measured and is told as MarkSeen::hidden.
struct EndReadings {
    std::optional<Measured> skive_outer;
    std::optional<Measured> skive_inner;
    std::optional<Measured> depth;
    std::optional<bool> lubricated;
    std::optional<Measured> mark_before_measured;
    std::optional<MarkSeen> mark_before_seen;
    std::vector<PlaceReading> crimps;
    std::optional<Measured> mark_after_measured;
    std::optional<MarkSeen> mark_after_seen;
    std::optional<bool> pin_passed;
    bool operator==(const EndReadings&) const = default;
};

// One characteristic's outcome. Limits are the spec's own; `margin` is how far inside the nearest limit the value lies
// (negative: outside). Confirmations by sight have no value. A one-sided characteristic (mark, spread) has no lower
// limit here and its margin counts to the upper one: zero is where it is best. A value on a side it cannot have (a
// negative mark distance) fails.
struct Finding {
    Characteristic what = Characteristic::depth;
    std::int64_t flat = 0;  // crimp_diameter only
    Verdict verdict = Verdict::conforms;
    Side side = Side::none;  // towards which limit, when it does not conform
    std::optional<MarkSeen> seen;
    std::optional<Length> value;
    std::optional<Length> lower;
    std::optional<Length> upper;
    std::optional<Length> guard;
    std::optional<Length> margin;
    bool operator==(const Finding&) const = default;
};

struct EndJudgement {
    Verdict verdict = Verdict::uncertain;  // fails beats uncertain beats conforms
    std::vector<Finding> findings;         // every characteristic known so far, in the order of the work
    std::vector<Characteristic> missing;   // asked for by the row and not yet known, in the order of the work
    std::optional<Length> mean;            // of the crimp diameters, to the nearest nm, for the record only
    std::optional<Length> spread;
    std::int64_t conformity_ppm = 0;  // of the least sure crimp reading; for the record, decides nothing

    bool complete() const { return missing.empty(); }
    bool passes() const { return complete() && verdict == Verdict::conforms; }
    bool operator==(const EndJudgement&) const = default;
};

// One value against one characteristic of the row; what a screen shows the moment a reading arrives.
// nullopt when the row does not ask for that characteristic as a measured length.
std::optional<Finding> judge_length(const SpecRow& row, Characteristic what, std::int64_t flat, Measured measured);

// Of two readings at one flat the later counts. A flat that the row does not ask for is judged all the same, after the
// row's own: it can stop an end, never help one. The spread appears once all of the row's flats (two or more) are read;
// its uncertainty is sqrt(2) times the largest of the crimp readings', rounded up (decision_rule.h). A mark hidden
// inside the shell fails even where a distance was measured. With nothing known, nothing is wrong yet: the verdict is
// `conforms`, everything is missing, and passes() is false.
EndJudgement judge_end(const SpecRow& row, const EndReadings& readings);

// The band of a characteristic that is measured as a length, zero to the limit for the one-sided ones; nullopt when the
// row does not ask for it so.
std::optional<Band> band_of(const SpecRow& row, Characteristic what);

}  // namespace crimpgate
