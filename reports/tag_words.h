// The fixed words of the tag, in one place.
//
// The caution is ours, after what safety texts for hydraulic hose agree on: injection through the skin, whip, burns, no
// feeling for leaks by hand, pressure off first, and a surgeon at once. Signal word WARNING (ANSI Z535.4: could cause
// death or serious injury), in a frame and white on black since labels have no colour. It leads back to the makers'
// instructions, local codes and licensed practice (R13), and says that a tag certifies no design.
#pragma once

namespace crimpgate::tag_words {

inline constexpr const char* kind = "Hydraulic hose assembly";
inline constexpr const char* serial = "Serial";
inline constexpr const char* pressure = "Max. working pressure";
inline constexpr const char* order = "Order";
inline constexpr const char* customer = "Customer";
inline constexpr const char* part = "Part no.";
inline constexpr const char* hose = "Hose";
inline constexpr const char* hose_lot = "Hose lot";
inline constexpr const char* length = "Length";
inline constexpr const char* orientation = "Orientation";
inline constexpr const char* assembled = "Assembled";
inline constexpr const char* date_code = "Date code";
inline constexpr const char* operator_name = "Operator";
inline constexpr const char* station = "Station";
inline constexpr const char* record = "Record no.";
inline constexpr const char* end[2] = {"End A", "End B"};
inline constexpr const char* fitting = "Fitting";
inline constexpr const char* lot = "Lot";
inline constexpr const char* depth = "Depth";
inline constexpr const char* crimp = "Crimp";
inline constexpr const char* spread = "Spread";
inline constexpr const char* gauge = "Gauge";
inline constexpr const char* rule = "Rule";
inline constexpr const char* recrimps = "Re-crimps";

inline constexpr const char* concession = "CONCESSION";
inline constexpr const char* recrimped = "RE-CRIMPED";
inline constexpr const char* reprint = "REPRINT";

inline constexpr const char* warning_sign = "\u26A0";
inline constexpr const char* warning = "WARNING";
inline constexpr const char* caution =
    "Oil under pressure goes through skin; a hose that lets go whips and burns. This can kill or maim. Take the "
    "pressure off before you loosen anything. Never feel for a leak with your hand. Oil under the skin: to a surgeon "
    "at once, and say so. The makers' instructions, local codes and licensed practice come first. This tag records "
    "measurements; it certifies no design.";
inline constexpr const char* caution_in_short =
    "Injection, whip and burns can kill or maim. Pressure off first; never feel for leaks. Makers' instructions, local "
    "codes and licensed practice come first.";

}  // namespace crimpgate::tag_words
