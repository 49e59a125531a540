#include "reports/statistics/sampling_plan.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <stdexcept>
#include <string>
#include <vector>

#include "reports/statistics/sampling_plan_tables.h"
#include "specs/decimal.h"

namespace crimpgate::statistics {
namespace {

constexpr std::array<int, 26> aqls = {10,    15,    25,     40,     65,     100,    150,    250,    400,
                                      650,   1000,  1500,   2500,   4000,   6500,   10000,  15000,  25000,
                                      40000, 65000, 100000, 150000, 250000, 400000, 650000, 1000000};
// Without I and O, which look like figures.
constexpr std::string_view letters = "ABCDEFGHJKLMNPQR";

// Table I: up to this lot size, the letters of S-1, S-2, S-3, S-4, I, II, III.
struct LotSizes {
    std::int64_t largest;
    std::string_view by_level;
};
constexpr std::array<LotSizes, 15> table_1 = {{{8, "AAAAAAB"},
                                               {15, "AAAAABC"},
                                               {25, "AABBBCD"},
                                               {50, "ABBCCDE"},
                                               {90, "BBCCCEF"},
                                               {150, "BBCDDFG"},
                                               {280, "BCDEEGH"},
                                               {500, "BCDEFHJ"},
                                               {1200, "CCEFGJK"},
                                               {3200, "CDEGHKL"},
                                               {10000, "CDFGJLM"},
                                               {35000, "CDFHKMN"},
                                               {150000, "DEGJLNP"},
                                               {500000, "DEGJMPQ"},
                                               {INT64_MAX, "DEHKNQR"}}};

std::span<const SamplingTableRow> table_of(Severity severity) {
    switch (severity) {
        case Severity::normal:
            return table_normal();
        case Severity::tightened:
            return table_tightened();
        case Severity::reduced:
            return table_reduced();
    }
    throw std::domain_error("sampling: no such severity");
}

std::string_view cell(const SamplingTableRow& row, std::size_t column) {
    auto rest = row.cells;
    for (; column > 0; --column)
        rest.remove_prefix(rest.find(' ') + 1);
    return rest.substr(0, rest.find(' '));
}

int whole(std::string_view text) {
    int number = 0;
    std::from_chars(text.data(), text.data() + text.size(), number);
    return number;
}

std::string all_aqls() {
    std::string text;
    for (const int aql : aqls) {
        const int places = aql < 100 ? 3 : aql < 1000 ? 2 : aql < 10000 ? 1 : 0;
        text += (text.empty() ? "" : ", ") + to_decimal_text(aql, 1000, places);
    }
    return text;
}

tl::unexpected<Message> unknown_aql(std::string_view found) {
    return refuse(message("sampling.aql_unknown").with("found", found).with("known", all_aqls()));
}

}  // namespace

std::span<const int> sampling_aqls() {
    return aqls;
}

Result<int> parse_aql(std::string_view text) {
    const auto decimal = parse_decimal(text);
    if (!decimal) return unknown_aql(text);
    const auto thousandths = scale_exactly(*decimal, 1000);
    if (!thousandths || std::find(aqls.begin(), aqls.end(), *thousandths) == aqls.end()) return unknown_aql(text);
    return static_cast<int>(*thousandths);
}

Result<char> code_letter(std::int64_t lot_size, InspectionLevel level) {
    if (lot_size < 2) return refuse(message("sampling.lot_too_small").with("pieces", std::to_string(lot_size)));
    const auto row = std::find_if(table_1.begin(), table_1.end(), [&](const auto& r) { return lot_size <= r.largest; });
    return row->by_level.at(static_cast<std::size_t>(level));
}

Result<SamplingPlan> plan_for(std::int64_t lot_size, InspectionLevel level, int aql, Severity severity) {
    const auto letter = code_letter(lot_size, level);
    if (!letter) return refuse(letter.error());
    const auto column = std::find(aqls.begin(), aqls.end(), aql);
    if (column == aqls.end()) return unknown_aql(to_decimal_text(aql, 1000, 3));

    const auto table = table_of(severity);
    const auto column_number = static_cast<std::size_t>(column - aqls.begin());
    auto row = letters.find(*letter);
    auto found = cell(table[row], column_number);
    for (; found == "v" || found == "^"; found = cell(table[row], column_number))
        row += found == "v" ? 1 : std::size_t(-1);  // every arrow ends at a plan, as the tests go through all of them

    SamplingPlan plan;
    plan.letter = *letter;
    plan.accept = whole(found.substr(0, found.find('/')));
    plan.reject = found.find('/') == found.npos ? plan.accept + 1 : whole(found.substr(found.find('/') + 1));
    plan.whole_lot = table[row].sample_size >= lot_size;
    plan.sample_size = std::min(table[row].sample_size, lot_size);
    return plan;
}

LotVerdict lot_verdict(const SamplingPlan& plan, std::int64_t nonconforming) {
    if (nonconforming < 0) throw std::domain_error("lot_verdict: fewer than no bad pieces");
    if (nonconforming <= plan.accept) return LotVerdict::accepted;
    return nonconforming < plan.reject ? LotVerdict::accepted_back_to_normal : LotVerdict::rejected;
}

}  // namespace crimpgate::statistics
