#include "station/daemon/audit_reading.h"

#include <algorithm>
#include <boost/json.hpp>

#include "reports/audit/cell_message.h"

namespace crimpgate {

namespace {

namespace json = boost::json;
using audit::Cell;

constexpr std::array<std::pair<std::string_view, Cell>, 15> kinds{{{"text", Cell::text},
                                                                   {"code", Cell::code},
                                                                   {"count", Cell::count},
                                                                   {"number", Cell::number},
                                                                   {"percent", Cell::percent},
                                                                   {"length", Cell::length},
                                                                   {"time", Cell::time},
                                                                   {"seconds", Cell::seconds},
                                                                   {"serial", Cell::serial},
                                                                   {"shift", Cell::shift},
                                                                   {"gauge", Cell::gauge},
                                                                   {"order", Cell::order},
                                                                   {"person", Cell::person},
                                                                   {"message", Cell::message},
                                                                   {"seq", Cell::seq}}};

// What is no audit. Thrown and caught in this file alone: the shape is deep, and every wrong shape ends the same way.
struct Strange {};

const json::object& object_in(const json::object& from, std::string_view name) {
    const auto* value = from.if_contains(name);
    if (value == nullptr || !value->is_object()) throw Strange{};
    return value->get_object();
}

const json::array& array_in(const json::object& from, std::string_view name) {
    static const json::array none;
    const auto* value = from.if_contains(name);
    if (value == nullptr) return none;
    if (!value->is_array()) throw Strange{};
    return value->get_array();
}

const json::object& as_object(const json::value& value) {
    if (!value.is_object()) throw Strange{};
    return value.get_object();
}

std::string as_text(const json::value& value) {
    if (!value.is_string()) throw Strange{};
    return std::string(value.get_string());
}

// Members; empty, nothing or no when there is none of that kind.
std::string text_in(const json::object& from, std::string_view name) {
    const auto* value = from.if_contains(name);
    return value != nullptr && value->is_string() ? std::string(value->get_string()) : std::string();
}

std::int64_t number_in(const json::object& from, std::string_view name) {
    const auto* value = from.if_contains(name);
    return value != nullptr && value->is_int64() ? value->get_int64() : 0;
}

bool yes_in(const json::object& from, std::string_view name) {
    const auto* value = from.if_contains(name);
    return value != nullptr && value->is_bool() && value->get_bool();
}

Message message_of(const json::value& value) {
    if (text_in(as_object(value), "code").empty()) throw Strange{};
    return audit::message_in(json::serialize(value));
}

std::vector<Message> notes_in(const json::object& from) {
    std::vector<Message> out;
    for (const auto& note : array_in(from, "notes"))
        out.push_back(message_of(note));
    return out;
}

audit::Sheet sheet_of(const json::object& from) {
    audit::Sheet out;
    out.id = text_in(from, "id");
    // It becomes a file's name.
    const std::string_view allowed = "abcdefghijklmnopqrstuvwxyz0123456789_";
    if (out.id.empty() || out.id.find_first_not_of(allowed) != std::string::npos) throw Strange{};
    for (const auto& value : array_in(from, "columns")) {
        const auto& column = as_object(value);
        const auto name = text_in(column, "kind");
        const auto kind = std::find_if(kinds.begin(), kinds.end(), [&](const auto& k) { return k.first == name; });
        if (kind == kinds.end()) throw Strange{};
        out.columns.push_back({text_in(column, "id"), kind->second});
    }
    for (const auto& value : array_in(from, "rows")) {
        if (!value.is_array() || value.get_array().size() != out.columns.size()) throw Strange{};
        out.rows.emplace_back();
        for (const auto& cell : value.get_array())
            out.rows.back().push_back(as_text(cell));
    }
    out.notes = notes_in(from);
    return out;
}

audit::ChartPointText point_of(const json::object& from) {
    audit::ChartPointText out;
    out.value = text_in(from, "value");
    out.seq = number_in(from, "seq");
    out.ms = number_in(from, "ms");
    out.serial = text_in(from, "serial");
    out.end = text_in(from, "end");
    for (const auto& rule : array_in(from, "signals"))
        out.signals.push_back(as_text(rule));
    out.left_out = yes_in(from, "left_out");
    return out;
}

audit::Chart chart_of(const json::object& from) {
    audit::Chart out;
    const std::pair<const char*, std::string*> texts[] = {{"id", &out.id},
                                                          {"kind", &out.kind},
                                                          {"unit", &out.unit},
                                                          {"stream", &out.stream},
                                                          {"centre", &out.centre},
                                                          {"lower", &out.lower},
                                                          {"upper", &out.upper},
                                                          {"sigma", &out.sigma},
                                                          {"band_lower", &out.band_lower},
                                                          {"band_upper", &out.band_upper}};
    for (const auto& [name, text] : texts)
        *text = text_in(from, name);
    out.frozen = yes_in(from, "frozen");
    for (const auto& restart : array_in(from, "restarts")) {
        if (!restart.is_int64()) throw Strange{};
        out.restarts.push_back(restart.get_int64());
    }
    for (const auto& point : array_in(from, "points"))
        out.points.push_back(point_of(as_object(point)));
    out.notes = notes_in(from);
    return out;
}

audit::Audit read(const json::object& from) {
    audit::Audit out;
    const auto& scope = object_in(from, "scope");
    for (const auto& [name, member] : scope_members)
        out.scope.*member = text_in(scope, name);
    out.study = text_in(from, "study");
    out.sample = text_in(from, "sample");
    out.title = text_in(from, "title");
    out.unit = text_in(from, "unit");
    out.time_zone = text_in(from, "time_zone");
    out.made_ms = number_in(from, "made_utc_ms");
    const auto& journal = object_in(from, "journal");
    out.journal.station = text_in(journal, "station");
    out.journal.last_seq = number_in(journal, "last_seq");
    out.journal.last_hash = text_in(journal, "last_hash");
    out.journal.verified_seq = number_in(journal, "verified_seq");
    out.verified_ms = number_in(journal, "verified_utc_ms");
    if (from.contains("people"))
        for (const auto& [id, name] : object_in(from, "people"))
            out.people[std::string(id)] = as_text(name);
    if (const auto* damage = journal.if_contains("damage")) out.journal.damage = message_of(*damage);
    for (const auto& sheet : array_in(from, "sheets"))
        out.sheets.push_back(sheet_of(as_object(sheet)));
    for (const auto& chart : array_in(from, "charts"))
        out.charts.push_back(chart_of(as_object(chart)));
    out.notes = notes_in(from);
    return out;
}

}  // namespace

Result<audit::Audit> audit_in(const json::object& object) {
    try {
        return read(object);
    } catch (const Strange&) {
        return refuse(message("audit.strange"));
    }
}

}  // namespace crimpgate
