// What follows from two ends together: the assembly's working pressure, its cut length and its orientation.
#pragma once

#include <cstdint>

#include "specs/spec_row.h"

namespace crimpgate {

enum class Component { hose, fitting_a, fitting_b };

struct AssemblyRating {
    Rating rating;
    Component governs = Component::hose;  // of equal ones the first: hose, fitting A, fitting B
    bool operator==(const AssemblyRating&) const = default;
};

// The lowest of the hose and both fittings (SAE J517 scope: lower of hose and connector values). Two rows that rate one
// hose differently give the lower.
AssemblyRating working_pressure(const SpecRow& end_a, const SpecRow& end_b);

// Overall length minus both cut-offs (trade rule; nothing added for what crimping pushes out unless a fitting's maker
// says so, which is then part of its cut-off). Refused when nothing is left ("assembly.too_short").
Result<Length> cut_length(Length overall, Length cut_off_a, Length cut_off_b);

// How the angle between two bent ends is read. 90 by one rule can be 270 by another, so an angle never goes without.
enum class OrientationRule {
    near_down_counter_clockwise,  // looking along the assembly, near elbow at 6 o'clock, counter-clockwise to the far
                                  // one
    far_to_near_clockwise,        // clockwise from the far elbow to the near one
    far_up,                       // far elbow at 12 o'clock, then clockwise to the near one
};

enum class NearEnd { a, b };

// Only for assemblies with both ends bent. 0 to 359 degrees; 360 is 0.
class Orientation {
  public:
    // "assembly.orientation" outside 0 to 360.
    static Result<Orientation> make(std::int64_t degrees, OrientationRule rule, NearEnd near_end);

    std::int64_t degrees() const { return degrees_; }
    OrientationRule rule() const { return rule_; }
    NearEnd near_end() const { return near_end_; }
    bool operator==(const Orientation&) const = default;

  private:
    Orientation(std::int64_t degrees, OrientationRule rule, NearEnd near_end)
        : degrees_(degrees), rule_(rule), near_end_(near_end) {}
    std::int64_t degrees_;
    OrientationRule rule_;
    NearEnd near_end_;
};

// +-3 degrees up to 24 in (609.6 mm) of overall length, +-5 degrees above (MIL-DTL-83796/5 and trade pages agree).
std::int64_t orientation_tolerance_degrees(Length overall);

}  // namespace crimpgate
