// A generated year in a folder of its own, and what the audit of the whole of it names, held against what is planted.
#pragma once

#include <filesystem>
#include <map>
#include <string>
#include <vector>

#include "reports/audit/differences.h"
#include "tests/support/temp_folder.h"
#include "tools/year/year.h"

namespace year_test {

using Folder = crimpgate::test::TempFolder;

struct Made {
    crimpgate::Journal journal;
    crimpgate::year::YearMade made;
};
// Throws where it fails: then there is nothing to test.
Made make(const std::filesystem::path& file, const crimpgate::year::YearChoice& choice);

std::map<std::string, std::int64_t> count_by_type(const crimpgate::Journal& journal);
std::string bytes_of(const crimpgate::Journal& journal);

// Of the whole journal.
std::vector<crimpgate::audit::Difference> differences_in(const crimpgate::Journal& journal);
std::string listed(const std::vector<crimpgate::audit::Difference>& found);

struct Named {
    bool wear = false, bump = false, caliper = false, lot = false;
    std::string others;  // what was named and is none of them
};
Named compare(const crimpgate::year::YearMade& made, const std::vector<crimpgate::audit::Difference>& found);

}  // namespace year_test
