// A tag's values as text: exact numbers, whole names.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "reports/tag.h"

namespace crimpgate::tag_text {

// At least `places` decimals, and as many more (to 6) as the value needs: what a tag shows is never rounded, or a
// reading just inside its limit could look outside it.
std::string millimetres(Length length, int places);

std::string bar(Pressure p);  // exact, without needless zeros
std::string mpa(Pressure p);
std::string psi(const Rating& r);  // as given where it was given in psi, else rounded down

std::string hose(const TagData& tag);
std::string fitting(const TagEnd& end);
std::string overall_length(const TagData& tag);  // "750 mm +7 / -3"
std::string orientation(const TagData& tag);
std::string depth(const TagEnd& end);      // "38.20 mm (37.50 to 38.50)"
std::string diameters(const TagEnd& end);  // "flat 1: 26.12, flat 3: 26.10 mm (26.00 to 26.20)"
std::string spread(const TagEnd& end);     // "0.03 mm (at most 0.10)"
std::string gauges(const TagEnd& end);
// What the rule is and what it means.
std::string rule(const DecisionRule& rule);

// Every text that came from outside, with the name of its field.
std::vector<std::pair<std::string, std::string>> given(const TagData& tag);

}  // namespace crimpgate::tag_text
