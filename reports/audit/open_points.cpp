// What the lead must look at first, worst on top. The order is fixed: first what may have left wrong, then what makes
// measurements doubtful, then what is unfinished, then what looks odd. Within a rank the oldest is first.
#include "reports/audit/open_points.h"

#include <algorithm>
#include <map>
#include <tuple>

#include "reports/audit/table.h"

namespace crimpgate::audit {

namespace {

constexpr std::int64_t calibration_soon_days = 14;

// As it is written on the bench and on tags.
std::string end_letter(const std::string& end) {
    return end == "a" ? "A" : end == "b" ? "B" : end;
}

struct Point {
    int rank = 0;
    std::int64_t ms = 0, seq = 0;
    Message what;
    std::string serial, shift, gauge;
};

class Points {
  public:
    Points(const Work& work, const OpenPointsFrom& from) : work_(work), facts_(*work.facts), from_(from) {}

    std::vector<Point> all() {
        record();
        holds();
        gauges();
        shifts();
        tags();
        clocks_and_warnings();
        oddities();
        std::stable_sort(points_.begin(), points_.end(), [](const Point& a, const Point& b) {
            return std::tie(a.rank, a.ms, a.seq) < std::tie(b.rank, b.ms, b.seq);
        });
        return std::move(points_);
    }

  private:
    Point& add(int rank, std::int64_t seq, std::int64_t ms, Message what) {
        points_.push_back({rank, ms, seq, std::move(what), {}, {}, {}});
        return points_.back();
    }

    void record() {
        if (facts_.journal.damage)
            add(1, facts_.journal.verified_seq, 0, message("audit.open.journal_damaged"));
        else if (facts_.journal.verified_seq < facts_.journal.last_seq)
            add(19, facts_.journal.verified_seq, 0,
                facts_.journal.verified_seq == 0 ? message("audit.open.journal_unread")
                                                 : message("audit.open.journal_not_verified")
                                                       .with("verified", count_text(facts_.journal.verified_seq))
                                                       .with("last", count_text(facts_.journal.last_seq)));
    }

    void holds() {
        for (const HoldFact& hold : facts_.holds) {
            if (hold.settled_seq > 0) continue;
            const auto at = work_.assemblies.find(hold.serial);
            const bool passed = at != work_.assemblies.end() && at->second->passed_seq > 0;
            const bool suspect = hold.cause == "suspect", overturned = hold.cause == "overturned";
            const int rank = passed && (suspect || overturned) ? 2 : suspect || overturned ? 4 : 8;
            Message what = suspect && passed           ? message("audit.open.suspect_left")
                           : suspect                   ? message("audit.open.suspect")
                           : overturned                ? message("audit.open.overturned")
                           : hold.cause == "person"    ? message("audit.open.put_aside")
                           : hold.cause == "uncertain" ? message("audit.open.too_close")
                                                       : message("audit.open.failed");
            Point& point = add(rank, hold.seq, hold.ms,
                               std::move(what)
                                   .with("serial", hold.serial)
                                   .with("end", end_letter(hold.end))
                                   .with("gauge", hold.gauge));
            point.serial = hold.serial;
            point.gauge = hold.gauge;
        }
    }

    void gauges() {
        const bool running =
            std::any_of(facts_.shifts.begin(), facts_.shifts.end(), [](const ShiftFact& s) { return s.running; });
        for (const GaugeRecord& r : from_.gauges) {
            const auto named = [&](int rank, std::int64_t seq, std::int64_t ms, Message what) {
                add(rank, seq, ms, std::move(what).with("gauge", r.gauge->gauge)).gauge = r.gauge->gauge;
            };
            if (r.open_failure != nullptr && !r.gauge->withdrawn)
                named(3, r.open_failure->seq, r.open_failure->ms, message("audit.open.gauge_failed"));
            // While the shift runs the proof at its end is yet to come.
            else if (!r.proved_after() && !(running && r.after == nullptr))
                named(5, r.last_reading_seq, r.last_reading_ms, message("audit.open.gauge_not_proved_after"));
            if (r.readings > 0 && r.days_left && *r.days_left < 0)
                named(6, 0, 0, message("audit.open.calibration_over").with("due", r.gauge->calibration_due));
            else if (r.days_left && *r.days_left <= calibration_soon_days && !r.gauge->withdrawn)
                named(13, 0, 0,
                      message("audit.open.calibration_soon")
                          .with("due", r.gauge->calibration_due)
                          .with("days", count_text(*r.days_left)));
            if (r.too_good) named(17, 0, 0, message("audit.open.proofs_too_good").with("proofs", count_text(r.proofs)));
        }
    }

    void shifts() {
        std::map<const ShiftFact*, std::pair<std::int64_t, const LateEntry*>> late;
        for (const LateEntry& entry : from_.late) {
            auto& [count, first] = late[entry.shift];
            if (count++ == 0) first = &entry;
        }
        for (const ShiftFact& shift : facts_.shifts) {
            if (shift.ended_seq == 0 && !shift.running)
                add(9, shift.started_seq, shift.started_ms,
                    message("audit.open.shift_never_closed").with("shift", shift.shift))
                    .shift = shift.shift;
            if (const auto at = late.find(&shift); at != late.end())
                add(7, at->second.second->seq, at->second.second->ms,
                    message("audit.open.late_entries")
                        .with("shift", shift.shift)
                        .with("count", count_text(at->second.first)))
                    .shift = shift.shift;
        }
    }

    // A tag that failed stays open until one of that assembly was printed, or somebody found it to be there after all.
    void tags() {
        for (const TagFact& tag : facts_.tags) {
            const bool printed = std::any_of(facts_.tags.begin(), facts_.tags.end(), [&](const TagFact& other) {
                return other.serial == tag.serial && other.state == "printed" && other.state_seq > tag.state_seq;
            });
            if (printed || (tag.state != "in_doubt" && tag.state != "failed")) continue;
            const bool doubt = tag.state == "in_doubt";
            add(doubt ? 10 : 11, tag.state_seq, tag.state_ms,
                message(doubt ? "audit.open.tag_in_doubt" : "audit.open.tag_failed").with("serial", tag.serial))
                .serial = tag.serial;
        }
    }

    // Of happenings: what is open until a later one settles it.
    void clocks_and_warnings() {
        for (const HappeningFact& h : facts_.happenings) {
            const auto later = [&](std::string_view type) {
                return std::any_of(facts_.happenings.begin(), facts_.happenings.end(),
                                   [&](const HappeningFact& other) { return other.seq > h.seq && other.type == type; });
            };
            if (h.type == "clock.stepped" && !later("clock.accepted"))
                add(12, h.seq, h.ms, message("audit.open.clock_stepped"));
            if (h.type == "drift.warned") {
                const std::string spec(h.told.detail("spec"));
                const bool set_up = std::any_of(facts_.setups.begin(), facts_.setups.end(), [&](const SetupFact& s) {
                    return s.passed && s.seq > h.seq && s.spec == spec;
                });
                if (!set_up) add(14, h.seq, h.ms, message("audit.open.drift_not_followed").with("spec", spec));
            }
        }
    }

    void oddities() {
        for (const StreamCharts& charts : from_.streams) {
            std::vector<std::size_t> lasts;
            for (const OneChart* one : {&charts.means, &charts.spreads})
                for (const SignalRun& run : runs_of(one->signals))
                    lasts.push_back(run.first);
            if (lasts.empty()) continue;
            const EndFact& first = *charts.points[*std::min_element(lasts.begin(), lasts.end())]->end;
            add(16, first.seq, first.ms,
                message("audit.open.signals")
                    .with("stream", charts.stream->stream)
                    .with("count", count_text(static_cast<std::int64_t>(lasts.size()))));
        }
        for (const Difference& d : from_.differences)
            add(15, d.seq, d.from_ms, meaning_of(d));
        for (const AlikeRow& row : from_.alike) {
            if (!row.stands_out) continue;
            Message what = row.what == Alike::equal_places     ? message("audit.open.equal_places")
                           : row.what == Alike::too_fast       ? message("audit.open.too_fast")
                           : row.what == Alike::confirmed_fast ? message("audit.open.confirmed_fast")
                                                               : message("audit.open.voids");
            add(18, 0, 0,
                std::move(what)
                    .with("person", row.person)
                    .with("count", count_text(row.count))
                    .with("of", count_text(row.of)));
        }
    }

    const Work& work_;
    const AuditFacts& facts_;
    const OpenPointsFrom& from_;
    std::vector<Point> points_;
};

}  // namespace

Sheet open_points_sheet(const Work& work, const OpenPointsFrom& from) {
    Table table("audit.sheet.open_points", work.inches());
    table.column("audit.column.rank", Cell::count)
        .column("audit.column.what", Cell::message)
        .column("audit.column.serial", Cell::serial)
        .column("audit.column.shift", Cell::shift)
        .column("audit.column.gauge", Cell::gauge)
        .column("audit.column.since", Cell::time)
        .column("audit.column.seq", Cell::seq);
    for (const Point& point : Points(work, from).all())
        table.row({count_text(point.rank), message_text(point.what), point.serial, point.shift, point.gauge,
                   time_text(point.ms), point.seq > 0 ? count_text(point.seq) : std::string()});
    return table.done();
}

}  // namespace crimpgate::audit
