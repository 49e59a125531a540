// An entry: one fact, in the order in which the station came to know it.
//
// The bytes of an entry are canonical JSON (station/json/canonical.h):
//   {"body":{...},"boot":"...","clock":"synced","mono_us":N,"seq":N,"station":"...","time":"...Z","type":"...","v":1,
//    "who":"..."}
// (clock: "synced" or "unsynced"; mono_us: whole microseconds since boot, since nanoseconds would outgrow the 2^53 - 1
// that JSON keeps after 104 days of running) and they are what is kept, hashed and handed out; nothing else is needed
// to read a record in thirty years. `seq` starts at 1, has no gaps and alone orders entries: the wall clock may jump,
// and a monotonic clock means something only within one `boot`. The last seq is the number of entries, and entry n is
// leaf n - 1 of the tree. Pure: no I/O, so that the bench may hand out drafts and read entries without knowing of a
// data base.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include <boost/json/object.hpp>

#include "specs/message.h"
#include "station/proof/hash.h"

namespace crimpgate {

// What is to be written: the journal adds number, station and time. `who` is the user id of the person who did it (R9),
// empty for what the station found out by itself.
struct Draft {
    std::string type;
    boost::json::object body;
    std::string who;
};

// When. mono_ns is CLOCK_BOOTTIME within boot_id; clock_synced says whether a time server stood behind the wall clock.
struct Stamp {
    std::int64_t utc_ms = 0;
    std::int64_t mono_ns = 0;
    std::string boot_id;
    bool clock_synced = false;
    bool operator==(const Stamp&) const = default;
};

struct Entry {
    std::int64_t seq = 0;
    std::string station;
    std::string type;
    std::string who;
    std::string time;  // of stamp.utc_ms, as in the bytes
    Stamp stamp;
    boost::json::object body;
    std::string bytes;
    Hash hash{};  // leaf hash of RFC 9162 section 2.1.1: SHA-256(00 || bytes)
};

// The entry that a draft becomes; its stamp is cut to whole microseconds, as in the bytes. Throws std::logic_error when
// the draft holds what canonical JSON does not, and std::out_of_range for a clock beyond the years 0000 to 9999.
Entry make_entry(std::int64_t seq, std::string station, Draft draft, Stamp stamp);

// Reads an entry back from its bytes, which must be canonical and hold exactly the members above
// ("entry.not_canonical", "entry.member" with its name, or a json.* code). The hash is computed from the bytes.
Result<Entry> read_entry(std::string_view bytes);

}  // namespace crimpgate
