// A day at an invented bench as entries: every type of entry at least once, in an order that could happen.
#pragma once

#include <string>
#include <vector>

#include "tests/station/true_record.h"

namespace journal_kit {

SpecRow invented_row(const std::string& revision);

struct ShopDay {
    ShopDay();
    std::vector<Draft> drafts;
};

// A journal with that day in it, a few entries a transaction. What it says of keys and checkpoints is true.
inline void live_through(Journal& journal, const ShopDay& day = {}) {
    std::int64_t n = 0;
    std::vector<Draft> some;
    const auto write = [&] {
        must(journal.append(std::move(some), at(n++)));
        some.clear();
    };
    for (const auto& draft : day.drafts) {
        // Signed over what is on the disk by then.
        if (draft.type.starts_with("checkpoint.") && !some.empty()) write();
        some.push_back(made_true(journal, draft));
        if (some.size() == 3) write();
    }
    if (!some.empty()) write();
}

}  // namespace journal_kit
