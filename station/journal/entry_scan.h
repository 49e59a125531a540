// A look at an entry's bytes that is as fast as hashing them: whether they are the canonical form of an entry, without
// building anything from them.
//
// It says yes only to bytes that read_entry would take (a test holds the two against each other); what it does not say
// yes to, such as names with letters beyond ASCII, is for read_entry to judge.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

namespace crimpgate {

// The members that stand in columns of their own, as views into the bytes.
struct EntryScan {
    std::int64_t seq = 0;
    std::string_view station;
    std::string_view time;
    std::string_view type;
    std::string_view who;
};

std::optional<EntryScan> scan_entry(std::string_view bytes);

// Whether it is one canonical JSON value (station/json/canonical.h), as far as can be told at once.
bool scan_canonical(std::string_view text);

}  // namespace crimpgate
