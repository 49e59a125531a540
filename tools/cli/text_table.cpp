#include "tools/cli/text_table.h"

#include <algorithm>

#include <boost/json.hpp>

#include "specs/shown_length.h"

namespace crimpgate::cli {

namespace {

// Characters of UTF-8: every byte that does not continue one.
std::size_t width(std::string_view text) {
    return static_cast<std::size_t>(
        std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

}  // namespace

std::string TextTable::text(std::size_t indent) const {
    std::vector<std::size_t> widths;
    for (const auto& row : rows_) {
        widths.resize(std::max(widths.size(), row.size()));
        for (std::size_t i = 0; i < row.size(); ++i)
            widths[i] = std::max(widths[i], width(row[i]));
    }
    std::string out;
    for (const auto& row : rows_) {
        std::string line(indent, ' ');
        for (std::size_t i = 0; i < row.size(); ++i)
            line += row[i] + std::string(widths[i] - width(row[i]) + 2, ' ');
        line.erase(line.find_last_not_of(' ') + 1);
        out += line + '\n';
    }
    return out;
}

std::string Lengths::text(Length length) const {
    // What a millimetre gauge shows beyond two places depends on the length alone, so that columns read the same for
    // all.
    return shown_length(length, unit, unit == LengthUnit::mm ? Length::from_um(10) : resolution);
}

std::string exact_mm(Length length) {
    return Lengths{}.text(length);
}

std::string Lengths::in(const boost::json::object& row, std::string_view member) const {
    const auto length = length_in(row, member);
    return length ? text(*length) : std::string();
}

std::string short_time(std::string_view utc) {
    if (utc.size() != 24) return std::string(utc);
    std::string text(utc.substr(0, 19));
    text[10] = ' ';
    return text;
}

std::string text_in(const boost::json::object& row, std::string_view name) {
    const auto* value = row.if_contains(name);
    return value != nullptr && value->is_string() ? std::string(value->get_string()) : std::string();
}

std::int64_t number_in(const boost::json::object& row, std::string_view name) {
    const auto* value = row.if_contains(name);
    return value != nullptr && value->is_int64() ? value->get_int64() : 0;
}

bool yes_in(const boost::json::object& row, std::string_view name) {
    const auto* value = row.if_contains(name);
    return value != nullptr && value->is_bool() && value->get_bool();
}

std::optional<Length> length_in(const boost::json::object& row, std::string_view name) {
    const auto* value = row.if_contains(name);
    if (value == nullptr || !value->is_int64()) return std::nullopt;
    return Length::from_nm(value->get_int64());
}

Length resolution_in(const boost::json::object& row, Length else_wise) {
    const auto resolution = length_in(row, "resolution_nm").value_or(Length{});
    return resolution > Length{} ? resolution : else_wise;
}

std::string end_in(const boost::json::object& row) {
    const std::string end = text_in(row, "end");
    return end == "a" ? "A" : end == "b" ? "B" : "";
}

}  // namespace crimpgate::cli
