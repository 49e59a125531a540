// Reads the small files of published values in tests/data, without losing a digit.
//
// A file is lines of numbers with blanks between, and comment lines that begin with '#'. A decimal becomes the double
// nearest to it (whole digits over a power of ten, both exact, divided once), or the whole number of its last place.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <fstream>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "specs/decimal.h"

namespace published {

using Row = std::vector<crimpgate::Decimal>;

inline std::vector<Row> rows(const std::string& name) {
    std::ifstream file(std::string(CRIMPGATE_SOURCE_DIR) + "/tests/data/" + name);
    if (!file) throw std::runtime_error("no such file of published values: " + name);
    std::vector<Row> out;
    for (std::string line; std::getline(file, line);) {
        if (line.empty() || line.front() == '#') continue;
        std::istringstream words(line);
        Row row;
        for (std::string word; words >> word;)
            row.push_back(crimpgate::parse_decimal(word).value());
        out.push_back(row);
    }
    return out;
}

inline double as_double(crimpgate::Decimal d) {
    double unit = 1;
    for (int i = 0; i < d.places; ++i)
        unit *= 10;
    return static_cast<double>(d.digits) / unit;
}

// As whole numbers of the place 10^-places: what crimpgate does with its lengths, which are whole nanometres.
inline double as_whole(crimpgate::Decimal d, int places) {
    if (d.places > places) throw std::runtime_error("a value is finer than its data set");
    double whole = static_cast<double>(d.digits);
    for (int i = d.places; i < places; ++i)
        whole *= 10;
    return whole;
}

// One list of all the values of a file.
inline std::vector<double> values(const std::string& name) {
    std::vector<double> out;
    for (const auto& row : rows(name))
        for (const auto d : row)
            out.push_back(as_double(d));
    return out;
}
inline std::vector<double> whole_values(const std::string& name, int places) {
    std::vector<double> out;
    for (const auto& row : rows(name))
        for (const auto d : row)
            out.push_back(as_whole(d, places));
    return out;
}
// A list for each line of a file.
inline std::vector<std::vector<double>> groups(const std::string& name) {
    std::vector<std::vector<double>> out;
    for (const auto& row : rows(name)) {
        out.emplace_back();
        for (const auto d : row)
            out.back().push_back(as_double(d));
    }
    return out;
}
inline std::vector<std::vector<double>> whole_groups(const std::string& name, int places) {
    std::vector<std::vector<double>> out;
    for (const auto& row : rows(name)) {
        out.emplace_back();
        for (const auto d : row)
            out.back().push_back(as_whole(d, places));
    }
    return out;
}

// Log relative error: how many digits of a certified value are right. The certificates print 15 digits, so no more.
inline double correct_digits(double found, double certified) {
    if (found == certified) return 15;
    const double error = std::abs(found - certified) / (certified == 0 ? 1 : std::abs(certified));
    return std::min(15.0, -std::log10(error));
}

}  // namespace published
