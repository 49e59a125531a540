// What the record knows around one assembly that came back: the proofs before and after its readings, the set-up it was
// crimped in with its siblings and drift, which of its relatives came back too, and how many share something with it.
//
// Questions to the views only. Each is one unchanging picture of the journal; a Result because the disk may fail.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "specs/failure_evidence.h"
#include "station/journal/journal.h"
#include "station/journal/recall.h"

namespace crimpgate {

struct ProofSeen {
    std::int64_t seq = 0;
    std::string time;  // UTC, as in the entry
    bool passed = false;
    Length error, limit;
};

// The last good proof before those readings and the first one of any outcome after them.
struct ProofsAround {
    std::optional<ProofSeen> before, after;
    std::optional<std::int64_t> withdrawn;  // the entry that took the gauge out of use after them, before a proof
};
Result<ProofsAround> proofs_around(const Journal& journal, const std::string& gauge, std::int64_t first_reading,
                                   std::int64_t last_reading);

// The end's crimps and what was crimped with them between the same set-up pieces or die confirmations.
struct CrimpMoment {
    std::optional<bool> setup_good;  // the set-up piece before it; none is known for a set-up that nobody proved
    std::optional<bool> die_named;   // that die set was confirmed in the crimper before it
    std::int64_t siblings = 0;
    std::map<std::int64_t, Length> siblings_mean;  // by flat, to the nearest nm
    std::vector<std::int64_t> drift;               // entries that warned of its drift
};
struct MomentAsked {
    std::string serial, setup_key, crimper, die_set;
    End end = End::a;
    std::int64_t first_reading = 0, last_reading = 0;  // of the crimp
};
Result<CrimpMoment> crimp_moment(const Journal& journal, const MomentAsked& asked);

// Others that came back already, each serial once, concluded or not.
Result<OtherReturns> other_returns(const Journal& journal, const std::string& serial);

// How many share something, without looking at what each of them measured: quick on a large journal.
struct SharedBy {
    std::int64_t assemblies = 0, delivered = 0;
    std::map<std::string, RecallShare> customers;
    std::vector<std::string> serials;  // the first so many, in the order of starting
};
// `without`: a serial that is not counted.
Result<SharedBy> shared_by(const Journal& journal, const RecallAsked& asked, const std::string& without,
                           std::size_t most_serials);

// The readings of a return in the order in which they came, and who took each.
struct ReturnReadingAt {
    std::int64_t seq = 0;
    std::string time, who;
};
Result<std::vector<ReturnReadingAt>> return_readings(const Journal& journal, const std::string& number);

// The entry that concluded it; all empty while it is open.
Result<ReturnReadingAt> concluded_at(const Journal& journal, const std::string& number);

// Where one assembly is, as far as the record knows.
struct WhereItWent {
    std::string stage;                    // "passed", "scrapped", "on_hold", ...
    std::string customer;                 // whom it was made for
    std::string delivery, delivered, to;  // empty: never written down as sent
    std::string hold_cause;
};
Result<std::optional<WhereItWent>> where_it_went(const Journal& journal, const std::string& serial);

// A shift's first and last moment as UTC text; the end is empty while it runs. Nothing for an unknown shift.
struct ShiftSpan {
    std::string from, to;
};
Result<std::optional<ShiftSpan>> shift_span(const Journal& journal, const std::string& shift);

}  // namespace crimpgate
