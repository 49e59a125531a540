// Crimp geometry: how far a crimp presses the hose's wall, from the sizes of shell and stem before it.
//
// DESCRIBES, DECIDES NOTHING. No open standard fixes a crimp diameter; it is the fitting maker's figure for that exact
// hose, stem and shell. Nothing here may be offered as a figure to crimp to: it only asks whether a figure that the
// maker gave was typed in rightly.
//
// Plain solid geometry (own derivation): the metal areas of shell and stem are kept, so with `stretch` = shell length
// after / before the crimp
//   shell id after  = sqrt(D^2 - (shell_od^2 - shell_id^2) / stretch)
//   stem od after   = sqrt(bore_after^2 + stem_od^2 - stem_bore^2)
//   compression     = 1 - pressed wall / free wall  ("by wall"), and the same of the ring's area ("by area"):
// two numbers for one crimp, so each carries its definition in its name. Millimetres in floating point, and percent.
#pragma once

#include <optional>

#include "specs/spec_row.h"

namespace crimpgate {

// All in mm, before the crimp unless named otherwise.
struct CrimpSizes {
    double shell_od = 0;
    double shell_id = 0;  // mean between the grips' ridges
    double stem_od = 0;
    double stem_bore = 0;
    double stem_bore_after = 0;
    double hose_id = 0;
    double hose_od = 0;  // over the cover for a no-skive build, over the wire for a skived one
    double stretch = 1;  // shell length after / before, 1 if unknown
};

struct PressedWall {
    double shell_id_after = 0;
    double stem_od_after = 0;
    double free_wall = 0;
    double pressed_wall = 0;
    double compression_by_wall = 0;  // percent
    double compression_by_area = 0;  // percent
    double percent_per_mm = 0;       // change of compression_by_wall with the crimp diameter; negative
};

CrimpSizes crimp_sizes(const ShellAndStem& geometry);

// Refused ("geometry.impossible" with the sizes that contradict each other): sizes that are not positive or the wrong
// way round, a crimp not smaller than the shell, a stem bore that grew, a shell closed on its own metal or on the stem.
Result<PressedWall> pressed_wall(const CrimpSizes& sizes, double crimp_mm);

// The crimp diameter at which the wall would be pressed by so many percent; the inverse of pressed_wall, for comparing
// with what the maker gave. Same refusals.
Result<double> crimp_at_compression(const CrimpSizes& sizes, double percent_by_wall);

// A warning when shell and stem are given and the row's own crimp presses the wall by less than 20 % or more than 50 %
// ("geometry.unusual_compression"), or cannot be made at all ("geometry.impossible"). The range is common practice from
// memory (about 25 to 45 %, often 35 to 40 % for braid), widened; nobody's standard, hence a warning and no error.
std::optional<Message> implausible(const SpecRow& row);

// The force in newtons with which pressure pulls at a fitting: p pi d^2 / 4 over the bore. For words only.
double separating_force_n(Pressure pressure, double bore_mm);

}  // namespace crimpgate
