// The invented shop of the generated year: its people, spec rows, gauges, customers.
#pragma once

#include <string>
#include <vector>

#include "station/entries/entries.h"

namespace crimpgate::year {

inline const std::vector<std::string> operators = {"OP-MIRA", "OP-JONA", "OP-EDDA"};
inline const std::vector<std::string> leads = {"LD-RUNA", "LD-TELL"};
inline const std::string setter = "ST-VEIT";
inline const std::vector<std::string> calipers = {"CAL-11", "CAL-12"};
inline const std::string ring = "RING-25";
inline constexpr std::size_t spec_count = 4;

struct Person {
    std::string id, name;
    Role role;
};
std::vector<Person> people();  // the setter first

// One spec row and die set each, one crimper. Band +-0.2 mm on three of eight flats.
SpecRow spec_row(std::size_t number);

entries::GaugeRegistered caliper(std::size_t number, const std::string& calibrated, const std::string& due);

struct Customer {
    std::string name, part;
};
const std::vector<Customer>& customers();

}  // namespace crimpgate::year
