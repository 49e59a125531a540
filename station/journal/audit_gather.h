// The gathering of an audit's facts, in its parts; internal to station/journal.
//
// Whoever is asked for stands in a temporary table of serials for as long as the picture of the journal lasts.
// Everything here throws SQLite::Exception when the disk fails.
#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <set>
#include <string>
#include <unordered_set>
#include <utility>
#include <vector>

#include <boost/json/object.hpp>

#include "station/journal/audit_facts.h"
#include "station/journal/database.h"

namespace crimpgate {

// One row of an answer, read from left to right.
class Columns {
  public:
    explicit Columns(SQLite::Statement& row) : row_(row) {}
    std::string text() { return row_.getColumn(at_++).getString(); }  // empty for NULL
    std::int64_t whole() { return row_.getColumn(at_++).getInt64(); }
    bool yes() { return whole() != 0; }
    Length length() { return Length::from_nm(whole()); }
    std::optional<Length> maybe_length() {
        const SQLite::Column column = row_.getColumn(at_++);
        if (column.isNull()) return std::nullopt;
        return Length::from_nm(column.getInt64());
    }
    std::int64_t time_ms();  // of an entry's time; 0 for NULL

  private:
    SQLite::Statement& row_;
    int at_ = 0;
};

// {"code": ..., "details": {...}} as a message.
Message message_in(const std::string& json);

class AuditGather {
  public:
    AuditGather(Database& database, const AuditAsked& asked, const TellEntry& tell)
        : database_(database), asked_(asked), scope_(asked.scope), tell_(tell) {}

    Result<audit::AuditFacts> all();

  private:
    // audit_facts.cpp
    Result<void> is_known() const;
    void choose_assemblies();
    void choose_span();
    void assemblies();
    void ends();
    void readings();
    void confirmations();
    void holds();
    // audit_beside.cpp: what happened beside the assemblies
    void setups();
    void refusals();
    void proofs();
    void gauges();
    void shifts();
    void streams();
    void frozen_limits();
    void settings();
    void happenings();
    void tags();
    void last_entry();

    bool narrowed() const;  // by more than shift and time
    bool in_span(std::int64_t seq, const std::string& time) const;
    bool speaks_of_ours(const boost::json::object& body) const;
    void add_stream(const std::string& spec, const std::string& revision, const std::string& crimper,
                    const std::string& die_set, std::int64_t seq, bool end_a);
    // The last entry of that type.
    template <class Body>
    std::optional<Body> last_of();

    Database& database_;
    const AuditAsked& asked_;
    const audit::Scope& scope_;
    const TellEntry& tell_;
    audit::AuditFacts out_;

    std::int64_t from_seq_ = 1;
    std::int64_t to_seq_ = std::numeric_limits<std::int64_t>::max();
    std::string from_time_;      // of entries, inclusive
    std::string to_time_ = "~";  // exclusive; behind every time
    std::unordered_set<std::string> serials_, used_gauges_, orders_, shifts_;
    std::set<std::string> streams_;
    std::vector<std::pair<std::int64_t, bool>> stream_starts_;  // an assembly.started of each stream, and whether end A
};

}  // namespace crimpgate
