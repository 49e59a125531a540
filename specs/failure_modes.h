// Why hoses fail: causes, what is seen when it is that one, what to do about it, and who else may have it.
//
// Written from published symptom tables and rules of the trade (SourceKey says where a reader finds them); where there
// was none, "common practice". Each cause carries a mark: A two or more independent public pages agree, B one page
// seen, M from memory. The sources tell what is seen for which cause; none of them gives figures. The weights are ours
// and say only how much a table makes of a symptom:
//
//   telling 6   the symptom by which the table tells this cause from others
//   supporting 3  named for this cause, and for others too
//   hint 1      goes with it, or was named by one weak page
//   against -3  usually not seen with this cause
//   excludes -6 hardly possible with this cause
//
// Codes are for ever: concluded returns in the record name them.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

namespace crimpgate {

inline constexpr std::int64_t telling = 6;
inline constexpr std::int64_t supporting = 3;
inline constexpr std::int64_t hint = 1;
inline constexpr std::int64_t against = -3;
inline constexpr std::int64_t excludes = -6;

// Who could have kept it from happening.
enum class FaultOf { bench, application, material };

enum class SourceKey {
    failure_pages,  // six pages on why hoses fail, taken together; the next four are single ones of them
    trade_journal_guide,
    page_read_this,
    page_troubleshooting,
    repair_shop_page,
    navy_manuals,
    dguv_113_020,
    sae_j1273,
    iso_17165_2,
    en_853_clauses,
    iso_8331_din_20066,
    cut_length_page,
    installation_page,
    machine_manual,
    common_practice,
};
// The catalogue's sentence that says where a reader finds it: "returned.source.dguv_113_020".
std::string_view words_of(SourceKey source);

// How well founded a cause's row of the table is: A, B, M.
enum class RowMark { several_pages, one_page, from_memory };
char mark_of(RowMark mark);

// The answer counts `weight`; where a second answer is named, only if that one is given too.
struct SymptomWeight {
    std::string_view question;
    std::string_view answer;
    std::int64_t weight = 0;
    std::string_view with_question{};
    std::string_view with_answer{};
};

// Which others may have the same fault.
enum class SiblingGroup {
    hose_lot,
    fitting_lot,
    setup,              // same die set and set-up
    gauge_since_proof,  // measured with the same gauge since its last good proof
    operator_shift,     // same operator in the same shift
    application,        // same order or the same place of use
};
std::string_view code_of(SiblingGroup group);  // the enumerator's own name
inline constexpr std::size_t sibling_groups = 6;

struct AtRisk {
    SiblingGroup group = SiblingGroup::hose_lot;
    std::string_view why;  // a sentence's code
};

struct FailureMode {
    std::string_view id;  // "crimp_too_large"
    FaultOf fault = FaultOf::bench;
    std::string_view words;   // what happened, "returned.mode.crimp_too_large"
    std::string_view bench;   // what to do at the bench
    std::string_view in_use;  // what to do where the hose is used
    RowMark mark = RowMark::from_memory;
    std::span<const SourceKey> sources;
    std::span<const SymptomWeight> symptoms;  // each (question, answer, with) once
    std::span<const AtRisk> at_risk;
};

// In the order of the work: bench, application, material.
std::span<const FailureMode> failure_modes();
const FailureMode* find_mode(std::string_view id);

// The three faults of a crimp that the record's readings can speak for or against.
inline constexpr std::string_view crimp_faults[] = {"not_pushed_home", "crimp_too_large", "crimp_too_small"};
bool is_crimp_fault(std::string_view id);

}  // namespace crimpgate
