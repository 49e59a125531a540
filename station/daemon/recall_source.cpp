#include "station/daemon/recall_source.h"

#include <algorithm>
#include <charconv>

#include <boost/describe.hpp>
#include <boost/json.hpp>

#include "specs/shown_text.h"
#include "station/daemon/local_time.h"
#include "station/entries/describe_entries.h"
#include "station/journal/queries.h"
#include "station/json/reflect.h"

namespace crimpgate {

BOOST_DESCRIBE_STRUCT(RecallRow, (),
                      (serial, order, customer, customer_part, hose_lot, fitting_a_lot, fitting_b_lot, spec_a,
                       revision_a, spec_b, revision_b, stage, started_ms, started_by, passed_ms, passed_by, verdict,
                       margin_nm, margin_end, margin_what, margin_place, spread_nm, recrimps, concession_reference,
                       hold_cause, hold_reason, delivery, delivered, note_number, to))

namespace {

namespace json = boost::json;

// "08:30" as minutes; nothing else is a time of day.
std::optional<std::int64_t> minutes_in(std::string_view text) {
    if (text.size() != 5 || text[2] != ':') return std::nullopt;
    int hours = 0, minutes = 0;
    const auto read = [](std::string_view two, int& into) {
        const auto end = two.data() + two.size();
        const auto done = std::from_chars(two.data(), end, into);
        return done.ec == std::errc() && done.ptr == end && into >= 0;
    };
    if (!read(text.substr(0, 2), hours) || !read(text.substr(3), minutes)) return std::nullopt;
    if (hours > 23 || minutes > 59) return std::nullopt;
    return hours * 60 + minutes;
}

constexpr std::int64_t minute = 60'000;

// The instant at which the shop's clock showed that. Where a clock is put forward or back, the day's own minutes differ
// from the clock's: what it shows then is held against what was asked.
std::int64_t at_clock(Date day, std::int64_t minutes, const std::string& zone) {
    const auto at = day_begins_ms(day, zone) + minutes * minute;
    const auto shown = minutes_in(local_time_text(at, zone).substr(11, 5)).value_or(minutes);
    return at + (minutes - shown) * minute;
}

Result<std::int64_t> instant(const std::string& text, const std::string& zone, bool end) {
    const auto bad = [&] { return refuse(message("recall.bad_time").with("found", shown_text(text))); };
    const auto day = parse_date(text.substr(0, std::min<std::size_t>(text.size(), 10)));
    if (!day) return bad();
    if (text.size() == 10) {
        if (!end) return day_begins_ms(*day, zone);
        return day_begins_ms(Date(std::chrono::sys_days(*day) + std::chrono::days(1)), zone);
    }
    if (text[10] != 'T' && text[10] != ' ') return bad();
    const auto minutes = minutes_in(std::string_view(text).substr(11));
    if (!minutes) return bad();
    return at_clock(*day, *minutes, zone);
}

}  // namespace

const std::vector<std::string>& recall_criteria() {
    static const std::vector<std::string> names = {"hose_lot",      "fitting_lot",  "die_set",       "crimper",
                                                   "gauge",         "spec_row",     "spec_revision", "operator",
                                                   "around_serial", "around_count", "customer",      "order"};
    return names;
}

Result<RecallAsked> recall_asked(const RecallWanted& wanted, const std::string& time_zone) {
    RecallAsked out;
    out.criteria = wanted.criteria;
    if (!wanted.from.empty()) {
        const auto from = instant(wanted.from, time_zone, false);
        if (!from) return refuse(from.error());
        out.from_ms = *from;
    }
    if (!wanted.to.empty()) {
        const auto to = instant(wanted.to, time_zone, true);
        if (!to) return refuse(to.error());
        out.to_ms = *to;
    }
    return out;
}

Result<RecallMade> make_recall(const Journal& journal, const RecallAsked& asked, std::size_t most_rows) {
    RecallMade out;
    auto found = recall(journal, asked, [&](const RecallRow& row) {
        if (out.rows.size() < most_rows) out.rows.push_back(row);
    });
    if (!found) return refuse(found.error());
    out.found = std::move(*found);
    const auto known = people(journal);
    if (!known) return refuse(known.error());
    for (const auto& person : *known)
        out.people[std::string(person.at("person").as_string())] = std::string(person.at("name").as_string());
    out.station = journal.station();
    return out;
}

json::object recall_json(const RecallMade& made) {
    json::array customers, rows;
    for (const auto& [customer, share] : made.found.customers)
        customers.push_back(
            json::object{{"customer", customer}, {"assemblies", share.assemblies}, {"delivered", share.delivered}});
    for (const auto& row : made.rows)
        rows.push_back(reflect::write_struct(row));
    json::object names;
    for (const auto& [id, name] : made.people)
        names[id] = name;
    return {{"upto_seq", made.found.upto_seq},   {"assemblies", made.found.assemblies},
            {"delivered", made.found.delivered}, {"list_sha256", made.found.list_sha256},
            {"station", made.station},           {"people", std::move(names)},
            {"customers", std::move(customers)}, {"rows", std::move(rows)}};
}

Result<RecallMade> recall_in(const json::object& object) {
    RecallMade out;
    try {
        out.found.upto_seq = object.at("upto_seq").as_int64();
        out.found.assemblies = object.at("assemblies").as_int64();
        out.found.delivered = object.at("delivered").as_int64();
        out.found.list_sha256 = object.at("list_sha256").as_string();
        out.station = object.at("station").as_string();
        for (const auto& one : object.at("customers").as_array())
            out.found.customers[std::string(one.at("customer").as_string())] = {one.at("assemblies").as_int64(),
                                                                                one.at("delivered").as_int64()};
        for (const auto& [id, name] : object.at("people").as_object())
            out.people[std::string(id)] = std::string(name.as_string());
        for (const auto& row : object.at("rows").as_array()) {
            auto read = reflect::from_json<RecallRow>(row.as_object());
            if (!read) return refuse(read.error());
            out.rows.push_back(std::move(*read));
        }
    } catch (const std::exception&) {  // the library's own way to say that a member is not there or of another kind
        return refuse(message("cli.strange_answer").with("status", "200"));
    }
    return out;
}

entries::RecallDrawn drawn_of(const RecallAsked& asked, const RecallFound& found) {
    entries::RecallDrawn out;
    out.criteria = asked.criteria;
    out.from_utc_ms = asked.from_ms;
    out.to_utc_ms = asked.to_ms;
    out.upto_seq = found.upto_seq;
    out.assemblies = found.assemblies;
    out.delivered = found.delivered;
    for (const auto& [customer, share] : found.customers)
        if (share.delivered > 0) out.customers.push_back(customer);
    out.list_sha256 = found.list_sha256;
    return out;
}

Result<RecallAsked> asked_of_drawn(const json::object& drawn) {
    RecallAsked out;
    for (const auto& one : drawn.at("criteria").as_array()) {
        auto read = reflect::from_json<entries::RecallCriterion>(one.as_object());
        if (!read) return refuse(read.error());
        out.criteria.push_back(std::move(*read));
    }
    if (const auto* from = drawn.if_contains("from_utc_ms")) out.from_ms = from->as_int64();
    if (const auto* to = drawn.if_contains("to_utc_ms")) out.to_ms = to->as_int64();
    out.upto_seq = drawn.at("upto_seq").as_int64();
    return out;
}

Result<RecallLetter> recall_letter_to(const RecallMade& made, const std::string& customer, const std::string& reason) {
    for (const auto& [other, share] : made.found.customers)
        if (other != customer && !other.empty() && customer.find(other) == std::string::npos &&
            reason.find(other) != std::string::npos)
            return refuse(message("recall.names_other").with("other", other).with("customer", customer));
    RecallLetter out;
    out.customer = customer;
    out.reason = reason;
    out.station = made.station;
    out.upto_seq = made.found.upto_seq;
    out.list_sha256 = made.found.list_sha256;
    for (const auto& row : made.rows)
        if (row.customer == customer && !row.delivery.empty())  // R12
            out.lines.push_back({row.serial, row.customer_part, row.order, row.hose_lot, row.delivery, row.note_number,
                                 row.delivered, row.to});
    if (out.lines.empty()) return refuse(message("recall.none_delivered").with("customer", customer));
    return out;
}

}  // namespace crimpgate
