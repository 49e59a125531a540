// Plain columns for people at a terminal: aligned by characters, not by bytes, two blanks between.
#pragma once

#include <optional>
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

// Lengths as the shop shows them (specs/shown_length.h): exact in millimetres, with two places at least; in inches with
// the places of the gauge.
struct Lengths {
    LengthUnit unit = LengthUnit::mm;
    Length resolution = Length::from_um(10);  // of the gauge; finer places where a length needs them to be exact

    std::string_view name() const { return unit == LengthUnit::inch ? "in" : "mm"; }
    std::string text(Length length) const;
    // A length in nanometres, empty when there is none.
    std::string in(const boost::json::object& row, std::string_view member) const;
};

// Millimetres, exact, for files that are in millimetres whatever the shop shows.
std::string exact_mm(Length length);

// What a query's row says of its gauge, `else_wise` where it says nothing.
Length resolution_in(const boost::json::object& row, Length else_wise);
std::optional<Length> length_in(const boost::json::object& row, std::string_view name);

// "2025-03-04T05:06:07.089Z" as "2025-03-04 05:06:07"; headings say UTC.
std::string short_time(std::string_view utc);

// Members of the queries' rows; empty or nothing when there is none, or none of that kind.
std::string text_in(const boost::json::object& row, std::string_view name);
std::int64_t number_in(const boost::json::object& row, std::string_view name);
bool yes_in(const boost::json::object& row, std::string_view name);
// "A", "B", or empty.
std::string end_in(const boost::json::object& row);

}  // namespace crimpgate::cli
