#include "station/daemon/audit_json.h"

#include <boost/json.hpp>

#include "station/json/reflect.h"

namespace crimpgate {
namespace {

namespace json = boost::json;
using namespace audit;

const char* kind_name(Cell kind) {
    switch (kind) {
        case Cell::text:
            return "text";
        case Cell::code:
            return "code";
        case Cell::count:
            return "count";
        case Cell::number:
            return "number";
        case Cell::percent:
            return "percent";
        case Cell::length:
            return "length";
        case Cell::time:
            return "time";
        case Cell::seconds:
            return "seconds";
        case Cell::serial:
            return "serial";
        case Cell::shift:
            return "shift";
        case Cell::gauge:
            return "gauge";
        case Cell::order:
            return "order";
        case Cell::person:
            return "person";
        case Cell::message:
            return "message";
        case Cell::seq:
            return "seq";
    }
    return "";
}

json::array notes_json(const std::vector<Message>& notes) {
    json::array out;
    for (const auto& note : notes)
        out.push_back(reflect::write(note));
    return out;
}

void put(json::object& out, const char* name, const std::string& text) {
    if (!text.empty()) out[name] = text;
}

json::object scope_json(const Scope& scope) {
    json::object out;
    const std::pair<const char*, const std::string*> members[] = {
        {"shift", &scope.shift},     {"from", &scope.from_day},     {"to", &scope.to_day},
        {"order", &scope.order},     {"customer", &scope.customer}, {"spec", &scope.spec},
        {"die_set", &scope.die_set}, {"hose_lot", &scope.hose_lot}, {"gauge", &scope.gauge},
        {"person", &scope.person}};
    for (const auto& [name, text] : members)
        put(out, name, *text);
    return out;
}

json::object point_json(const ChartPointText& point) {
    json::object out{{"value", point.value}, {"seq", point.seq}, {"ms", point.ms}};
    put(out, "serial", point.serial);
    put(out, "end", point.end);
    if (!point.signals.empty()) out["signals"] = json::array(point.signals.begin(), point.signals.end());
    if (point.left_out) out["left_out"] = true;
    return out;
}

json::object chart_json(const Chart& chart) {
    json::object out{{"id", chart.id}, {"kind", chart.kind}, {"frozen", chart.frozen}};
    const std::pair<const char*, const std::string*> texts[] = {{"unit", &chart.unit},
                                                                {"stream", &chart.stream},
                                                                {"centre", &chart.centre},
                                                                {"lower", &chart.lower},
                                                                {"upper", &chart.upper},
                                                                {"sigma", &chart.sigma},
                                                                {"band_lower", &chart.band_lower},
                                                                {"band_upper", &chart.band_upper}};
    for (const auto& [name, text] : texts)
        put(out, name, *text);
    out["restarts"] = json::array(chart.restarts.begin(), chart.restarts.end());
    json::array points;
    points.reserve(chart.points.size());
    for (const auto& point : chart.points)
        points.push_back(point_json(point));
    out["points"] = std::move(points);
    out["notes"] = notes_json(chart.notes);
    return out;
}

}  // namespace

json::object sheet_json(const Sheet& sheet) {
    json::array columns, rows;
    for (const auto& column : sheet.columns)
        columns.push_back(json::object{{"id", column.id}, {"kind", kind_name(column.kind)}});
    for (const auto& row : sheet.rows) {
        json::array cells;
        cells.reserve(row.size());
        for (const auto& cell : row)
            cells.emplace_back(cell);
        rows.push_back(std::move(cells));
    }
    return {{"id", sheet.id},
            {"columns", std::move(columns)},
            {"rows", std::move(rows)},
            {"notes", notes_json(sheet.notes)}};
}

json::object audit_json(const Audit& audit) {
    json::object journal{{"station", audit.journal.station},
                         {"last_seq", audit.journal.last_seq},
                         {"last_hash", audit.journal.last_hash},
                         {"verified_seq", audit.journal.verified_seq}};
    if (audit.journal.damage) journal["damage"] = reflect::write(*audit.journal.damage);
    if (audit.verified_ms > 0) journal["verified_utc_ms"] = audit.verified_ms;
    json::object people;
    for (const auto& [id, name] : audit.people)
        people[id] = name;
    json::array sheets, charts;
    for (const auto& sheet : audit.sheets)
        sheets.push_back(sheet_json(sheet));
    for (const auto& chart : audit.charts)
        charts.push_back(chart_json(chart));
    json::object out{
        {"scope", scope_json(audit.scope)}, {"title", audit.title},         {"unit", audit.unit},
        {"time_zone", audit.time_zone},     {"made_utc_ms", audit.made_ms}, {"journal", std::move(journal)},
        {"people", std::move(people)},      {"sheets", std::move(sheets)},  {"charts", std::move(charts)},
        {"notes", notes_json(audit.notes)}};
    put(out, "study", audit.study);
    put(out, "sample", audit.sample);
    return out;
}

}  // namespace crimpgate
