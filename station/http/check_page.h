// The page that checks a tag's signed code (station/web/check): with the shop's tag keys in it, either served by the
// station at /C/..., where the tag's own link leads, or as one file for any other place, a phone's memory included.
//
// The file carries a policy of its own that lets its own scripts run (by their hashes) and nothing else happen: it
// cannot ask anybody anything. Served by the station it offers the way on to the record (/t/, trace_page.h), for
// whoever presses it.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"
#include "station/journal/checkpoints.h"

namespace crimpgate {

struct CheckKey {
    std::string key;       // tag key as a verifier key, name+id+base64
    bool retired = false;  // handed over to a newer one
    bool operator==(const CheckKey&) const = default;
};

// A tag key as entries have it (base64 of 32 bytes). "key.malformed"
Result<CheckKey> check_key(const std::string& name, std::string_view tag_key_base64, bool retired);

// Of all the keys that the journal knows, oldest first as station_keys gives them: the newest first.
Result<std::vector<CheckKey>> check_keys(const std::vector<StationKey>& known);

// The text of a page file; empty when there is none.
using PageText = std::function<std::string(const std::string& path)>;

// `prefix`: where the station serves its files, "/pages/<hash>/".
std::string check_page_served(const PageText& text, std::string_view prefix, const std::vector<CheckKey>& keys);
// From the files that were built in.
std::string check_page_alone(const std::vector<CheckKey>& keys);

}  // namespace crimpgate
