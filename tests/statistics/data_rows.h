// The rows of a small file of check values in tests/data: lines of cells parted by commas, "#" before a remark; the
// first other line names the columns and is left out.
#pragma once

#include <charconv>
#include <cmath>
#include <fstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace crimpgate::statistics {

using DataRow = std::vector<std::string>;

inline DataRow cells_of(const std::string& line, char mark = ',') {
    DataRow cells(1);
    for (const char c : line)
        if (c == mark)
            cells.emplace_back();
        else
            cells.back() += c;
    return cells;
}

// Never empty: a check against a file that is not there must not pass.
inline std::vector<DataRow> data_rows(const std::string& name, bool with_heading = false) {
    std::ifstream file(CRIMPGATE_SOURCE_DIR "/tests/data/" + name);
    std::vector<DataRow> rows;
    for (std::string line; std::getline(file, line);)
        if (!line.empty() && line[0] != '#') rows.push_back(cells_of(line));
    if (rows.size() < 2) throw std::runtime_error("no check values in tests/data/" + name);
    if (!with_heading) rows.erase(rows.begin());
    return rows;
}

inline double number(const std::string& text) {
    double value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc() || end != text.data() + text.size()) throw std::runtime_error("not a number: " + text);
    return value;
}

}  // namespace crimpgate::statistics
