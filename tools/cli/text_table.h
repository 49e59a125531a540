// Plain columns for people at a terminal: aligned by characters, not by bytes, two blanks between.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include <boost/json/object.hpp>

#include "specs/length.h"

namespace crimpgate::cli {

class TextTable {
  public:
    explicit TextTable(std::vector<std::string> head) : rows_{std::move(head)} {}
    void add(std::vector<std::string> row) { rows_.push_back(std::move(row)); }
    bool empty() const { return rows_.size() < 2; }
    // Every line indented by that many blanks, none with blanks at its end.
    std::string text(std::size_t indent = 0) const;

  private:
    std::vector<std::vector<std::string>> rows_;
};

// Millimetres, exact: as many places as the length needs, two at least.
std::string exact_mm(Length length);

// "2025-03-04T05:06:07.089Z" as "2025-03-04 05:06:07"; headings say UTC.
std::string short_time(std::string_view utc);

// Members of the queries' rows; empty or nothing when there is none, or none of that kind.
std::string text_in(const boost::json::object& row, std::string_view name);
std::int64_t number_in(const boost::json::object& row, std::string_view name);
bool yes_in(const boost::json::object& row, std::string_view name);
// A length in nanometres as exact_mm, empty when there is none.
std::string mm_in(const boost::json::object& row, std::string_view name);
// "A", "B", or empty.
std::string end_in(const boost::json::object& row);

}  // namespace crimpgate::cli
