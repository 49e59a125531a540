// The simulated caliper's script: one command a line, for tests, for the demo and for a person at a keyboard.
//
//   press VALUE [mm|in]      press the button (a gauge that streams or is asked: what it shows from now on)
//   half VALUE [mm|in]       the front half of a frame, and silence
//   dribble VALUE [mm|in]    a frame one byte at a time, 5 ms apart
//   unit mm|inch VALUE       a press in that unit, expected or not
//   lowbattery | overrange | hold VALUE [mm|in]     a press with that flag, where the gauge has it
//   badsum VALUE [mm|in]     a press with a wrong checksum
//   blank VALUE [mm|in]      a press with blanks where digits belong
//   repeat                   the bytes of the press before, once more
//   noise COUNT [SEED]       bytes of line noise
//   raw HEX                  those bytes: raw 2B 30 0D 0A
//   unplug [MS]              pull the plug; with MS, put it back after that time
//   plug                     put it back
//   wait MS
//   listen                   wait until somebody has the line open
// Blank lines and lines that begin with # do nothing. Without a unit the profile's expected one is meant.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "tools/caliper/simulated_caliper.h"

namespace crimpgate {

struct Step {
    std::string text;                                        // the command as it was given
    std::function<Result<void>(SimulatedCaliper&)> perform;  // empty for a line that does nothing
};

// Refused: caliper.unknown_command (found), caliper.bad_command (found, expected), before anything is sent.
Result<Step> parse_step(std::string_view line, LengthUnit expected);

// The whole script or its first error, with the detail "line".
Result<std::vector<Step>> parse_script(std::string_view text, LengthUnit expected);

}  // namespace crimpgate
