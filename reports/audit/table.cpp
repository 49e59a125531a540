#include "reports/audit/table.h"

#include <stdexcept>

namespace crimpgate::audit {

std::string short_id(std::string_view code) {
    const auto dot = code.rfind('.');
    return std::string(dot == std::string_view::npos ? code : code.substr(dot + 1));
}

Table& Table::column(std::string_view code, Cell kind) {
    auto id = short_id(code);
    const bool of_people = kind == Cell::text && (id == "person" || id.ends_with("_by"));
    sheet_.columns.push_back({std::move(id), of_people ? Cell::person : kind});
    return *this;
}

Table& Table::length(std::string_view mm_code, std::string_view inch_code) {
    return column(inches_ ? inch_code : mm_code, Cell::length);
}

void Table::row(std::vector<std::string> cells) {
    if (cells.size() != sheet_.columns.size()) throw std::logic_error("a row of sheet " + sheet_.id + " does not fit");
    sheet_.rows.push_back(std::move(cells));
}

// Codes of facts; those that sheets make themselves stand where they are made.
std::vector<std::string_view> value_words() {
    return {
        "audit.value.a",
        "audit.value.b",
        "audit.value.conforms",
        "audit.value.fails",
        "audit.value.uncertain",
        "audit.value.in_work",
        "audit.value.on_hold",
        "audit.value.to_be_taken_up",
        "audit.value.passed",
        "audit.value.scrapped",
        "audit.value.failed",
        "audit.value.suspect",
        "audit.value.person",
        "audit.value.overturned",
        "audit.value.proof_test",
        "audit.value.recrimp",
        "audit.value.scrap",
        "audit.value.remeasure",
        "audit.value.concession",
        "audit.value.skive_outer",
        "audit.value.skive_inner",
        "audit.value.depth",
        "audit.value.lubricant",
        "audit.value.mark_before",
        "audit.value.crimp_diameter",
        "audit.value.spread",
        "audit.value.mark_after",
        "audit.value.bore_pin",
        "audit.value.beyond_three_sigma",
        "audit.value.nine_on_one_side",
        "audit.value.six_steadily_moving",
        "audit.value.fourteen_alternating",
        "audit.value.two_of_three_beyond_two_sigma",
        "audit.value.four_of_five_beyond_one_sigma",
        "audit.value.fifteen_within_one_sigma",
        "audit.value.eight_beyond_one_sigma",
        "audit.value.eight_on_one_side",
        "audit.value.yes",
        "audit.value.no",
    };
}

}  // namespace crimpgate::audit
