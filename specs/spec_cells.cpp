#include "specs/spec_cells.h"

#include <algorithm>

#include "specs/shown_text.h"

namespace crimpgate {

namespace {

constexpr Length longest_length = Length::from_um(10'000'000);        // 10 m
constexpr Pressure highest_pressure = Pressure::from_kpa(1'000'000);  // 10 000 bar

}  // namespace

std::string_view SpecCells::cell(std::string_view stem) const {
    const auto* place = header_.find(stem);
    return place == nullptr ? std::string_view() : trimmed(row_.fields[place->index].text);
}

bool SpecCells::good(std::initializer_list<std::string_view> stems) const {
    for (const auto stem : stems)
        if (header_.find(stem) == nullptr || bad_.contains(stem)) return false;
    return true;
}

void SpecCells::error(std::string_view stem, std::string_view expected, Message why) {
    bad_.emplace(stem);
    const auto* place = header_.find(stem);
    const int line = place == nullptr ? row_.line : row_.fields[place->index].line;
    const std::string column = place == nullptr ? std::string(stem) : place->name;
    errors_.push_back(table_error(line, column, cell(stem), expected, std::move(why)));
}

// False when there is nothing to read; a mandatory cell left empty is an error.
bool SpecCells::usable(std::string_view stem, Cell need) {
    if (header_.find(stem) == nullptr) return false;
    if (filled(stem)) return true;
    if (need == Cell::mandatory) error(stem, "not empty", message("table.empty"));
    return false;
}

std::string SpecCells::text(std::string_view stem, Cell need, std::size_t longest) {
    if (!usable(stem, need)) return {};
    std::string_view rest = cell(stem);
    std::size_t count = 0;
    for (; !rest.empty(); ++count) {
        const auto one = rest.substr(0, std::max<std::size_t>(utf8_character(rest), 1));
        if (is_control(one)) {
            error(stem, "printable, one line", message("table.control_character").with("character", shown_text(one)));
            return {};
        }
        if (is_invisible(one)) {
            error(stem, "printable, one line", message("table.invisible_character"));
            return {};
        }
        rest.remove_prefix(one.size());
    }
    if (count > longest) {
        error(stem, "1.." + std::to_string(longest), message("table.text_too_long"));
        return {};
    }
    return std::string(cell(stem));
}

std::int64_t SpecCells::whole(std::string_view stem, std::int64_t least, std::int64_t most) {
    if (!usable(stem, Cell::mandatory)) return least;
    const auto range = std::to_string(least) + ".." + std::to_string(most);
    const auto number = parse_decimal(cell(stem));
    if (!number)
        error(stem, range, number.error());
    else if (number->places > 0)
        error(stem, range, message("table.not_whole"));
    else if (number->digits < least || number->digits > most)
        error(stem, range, message("table.out_of_range"));
    else
        return number->digits;
    return least;
}

std::int64_t SpecCells::dash(std::string_view stem) {
    constexpr std::int64_t smallest = 2, largest = 64;
    if (!usable(stem, Cell::mandatory)) return 0;
    const auto range = std::to_string(smallest) + ".." + std::to_string(largest);
    auto written = cell(stem);
    if (written.size() > 1 && written.front() == '-') written.remove_prefix(1);
    const auto number = parse_decimal(written);
    if (!number)
        error(stem, range, number.error());
    else if (number->places > 0)
        error(stem, range, message("table.not_whole"));
    else if (number->digits < smallest || number->digits > largest)
        error(stem, range, message("table.out_of_range"));
    else
        return number->digits;
    return 0;
}

// Whatever its sign, but no longer than 10 m either way.
std::optional<Length> SpecCells::any_length(std::string_view stem) {
    const auto* place = header_.find(stem);
    const bool metric = place->length_unit == LengthUnit::mm;
    const auto length = Length::parse(cell(stem), place->length_unit);
    if (!length && length.error().code != "length.too_large") {
        error(stem, metric ? "mm" : "in", length.error());
        return std::nullopt;
    }
    if (!length || length->abs() > longest_length) {
        error(stem, metric ? "0..10000" : "0..393", message("table.length_too_large"));
        return std::nullopt;
    }
    return *length;
}

std::optional<Length> SpecCells::length(std::string_view stem, Cell need) {
    if (!usable(stem, need)) return std::nullopt;
    const auto length = any_length(stem);
    if (length && *length <= Length()) {
        error(stem, "> 0", message("table.not_positive"));
        return std::nullopt;
    }
    return length;
}

Length SpecCells::tolerance(const std::string& stem) {
    if (!usable(stem, Cell::mandatory)) return {};
    const auto length = any_length(stem);
    if (!length) return {};
    if (*length < Length())
        error(stem, "> 0", message("table.limits_wrong_way_round"));
    else if (*length == Length())
        error(stem, "> 0", message("table.tolerance_zero"));
    return *length;
}

Toleranced SpecCells::toleranced(std::string_view stem) {
    const std::string minus = std::string(stem) + "_minus", plus = std::string(stem) + "_plus";
    const auto nominal = length(stem);
    const Toleranced size{nominal.value_or(Length()), tolerance(minus), tolerance(plus)};
    if (good({stem, minus}) && size.band().lower <= Length())
        error(minus, "< " + std::string(cell(stem)), message("table.limit_below_zero"));
    return size;
}

Rating SpecCells::rating(std::string_view stem) {
    if (!usable(stem, Cell::mandatory)) return {};
    auto rating = Rating::parse(cell(stem), header_.find(stem)->pressure_unit);
    if (!rating && rating.error().code != "pressure.too_large") {
        error(stem, "> 0", rating.error());
        return {};
    }
    if (!rating || rating->pressure > highest_pressure) {
        error(stem, "0..10000 bar", message("table.pressure_too_large"));
        return {};
    }
    return *std::move(rating);
}

std::size_t SpecCells::choice(std::string_view stem, std::initializer_list<std::string_view> words) {
    if (!usable(stem, Cell::mandatory)) return 0;
    std::string expected;
    std::size_t ordinal = 0;
    for (const auto word : words) {
        if (word == cell(stem)) return ordinal;
        if (ordinal++ > 0) expected += " | ";
        expected += word;
    }
    error(stem, expected, message("table.not_a_choice"));
    return 0;
}

}  // namespace crimpgate
