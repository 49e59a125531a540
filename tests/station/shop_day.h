// A day at an invented bench as entries: every type of entry at least once, in an order that could happen.
#pragma once

#include <string>
#include <vector>

#include "tests/station/journal_kit.h"

namespace journal_kit {

SpecRow invented_row(const std::string& revision);

struct ShopDay {
    ShopDay();
    std::vector<Draft> drafts;
};

// A journal with that day in it, a few entries a transaction.
inline void live_through(Journal& journal, const ShopDay& day = {}) {
    std::int64_t n = 0;
    for (std::size_t i = 0; i < day.drafts.size(); i += 3) {
        std::vector<Draft> some(day.drafts.begin() + static_cast<std::ptrdiff_t>(i),
                                day.drafts.begin() + static_cast<std::ptrdiff_t>(std::min(i + 3, day.drafts.size())));
        must(journal.append(std::move(some), at(n++)));
    }
}

}  // namespace journal_kit
