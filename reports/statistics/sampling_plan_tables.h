// Tables II-A, II-B and II-C of MIL-STD-105E (10 May 1989, public domain), single sampling, as they are printed: a row
// for each code letter, a column for each AQL, arrows where another row's plan is to be used.
#pragma once

#include <cstdint>
#include <span>
#include <string_view>

namespace crimpgate::statistics {

// One row: the sample size and 26 cells parted by blanks. "2": accept on 2, reject on 3. "2/5": accept on 2, reject
// on 5. "v": the plan, with its sample size, of the first row below that has one. "^": of the first row above.
struct SamplingTableRow {
    std::int64_t sample_size;
    std::string_view cells;
};
std::span<const SamplingTableRow> table_normal();
std::span<const SamplingTableRow> table_tightened();  // one row more than there are letters: S, reached by arrows only
std::span<const SamplingTableRow> table_reduced();

}  // namespace crimpgate::statistics
