// How crimps come out: the process that the simulated operator measures.
//
// Off the band's middle, in micrometres: what the mounted die set does (normal, sd 8, new with every mounting and
// setting), each end (sd 6), each flat of an end (sd 5), and what is planted (story.h). The caliper adds its own
// repeatability (sd 3, on a ring 2.5) and rounds to 0.01 mm. Figures are common practice for a crimper in good order,
// not a source's.
//
// Once in a while something goes really wrong, far enough that the bench sees it: the crimp stops short or the hose is
// not held (oversize, undersize), the mark was set too short, the mark has moved.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>

#include "specs/length.h"
#include "tools/year/dice.h"

namespace crimpgate::year {

enum class Mishap { none, oversize, undersize, short_mark, moved };

// One end, crimped once.
struct Piece {
    double level = 0;  // off the middle, um
    std::map<std::int64_t, double> flats;
    double depth = 0;  // off the nominal, um
    Mishap mishap = Mishap::none;
};

// The state of affairs at one moment, as planted.
struct Affairs {
    double wear = 0, bump = 0;
    bool bad_lot = false;
    double lot = 0;
    double low = 0;  // of the caliper in hand
};

class Crimper {
  public:
    explicit Crimper(Dice& dice) : dice_(dice) {}

    // One mounting in twenty-five is set wrong by far more than the middle half of the band allows.
    void mount();
    // The operator turns the setting by what the set-up piece says.
    void turn(double correction_um);
    double setting() const { return setting_; }

    Piece crimp(const Affairs& affairs, bool set_up_piece);
    double flat(Piece& piece, std::int64_t flat, bool bad_lot);
    // What the caliper shows of a true size: a whole number of its steps.
    Length shown(Length nominal, double off_um, double gauge_um, double repeatability_um = 3);

  private:
    Dice& dice_;
    double mounted_ = 0;  // this mounting's own
    double setting_ = 0;  // off the right one
};

}  // namespace crimpgate::year
