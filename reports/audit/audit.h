// An audit: tables and charts with every figure already as text, so that page, PDF, CSV, JSON and terminal say the
// same.
//
// A cell is text in the form of files: decimal point, no thousands sign, ISO 8601 in UTC, codes for words. Whoever
// shows it to a person puts in their decimal sign, their time zone and, for codes, the catalogue's words
// ("audit.sheet.ID", "audit.column.ID", "audit.value.CODE"). Nothing is rounded again on the way: the text is the
// figure.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "reports/audit/facts.h"
#include "specs/message.h"

namespace crimpgate::audit {

enum class Cell {
    text,     // as it is: a lot, a remark
    code,     // "audit.value.<cell>"
    count,    // a whole number
    number,   // a decimal fraction
    percent,  // 0 to 100, one decimal
    length,   // in the audit's unit, see Column::id
    time,     // "2026-11-25T07:12:03.120Z"
    seconds,  // a duration
    serial,   // leads to the assembly
    shift,    // leads to the shift's audit
    gauge,
    order,
    person,   // an id; whoever shows it puts the name beside it, see Audit::people
    message,  // a catalogue code and its details, as canonical JSON {"code":...,"details":{...}}
    seq,      // leads to the entry
};

struct Column {
    std::string
        id;  // unique in its sheet; of a length it ends in _mm or _in, of seconds in _s, of a percentage in _pct
    Cell kind = Cell::text;
};

struct Sheet {
    std::string id;  // "made", "reasons", "open_points" ...: also the name of its CSV file
    std::vector<Column> columns;
    std::vector<std::vector<std::string>> rows;
    std::vector<Message> notes;  // what must be said beside it
};

struct ChartPointText {
    std::string value;  // in the chart's unit
    std::int64_t seq = 0;
    std::int64_t ms = 0;
    std::string serial, end;
    std::vector<std::string> signals;  // codes of the run rules that fire here
    bool left_out = false;
};

struct Chart {
    std::string id;    // "means:<stream>", "spreads:<stream>", "reasons", "normality:<stream>"
    std::string kind;  // "control", "pareto", "probability"
    std::string unit;  // "mm", "in", or empty
    std::string stream;
    std::string centre, lower, upper, sigma;  // of a control chart; empty where there are none
    std::string band_lower, band_upper;       // the spec's, where the chart is of means
    bool frozen = false;
    std::vector<std::int64_t> restarts;  // indexes at which the chart begins anew (set-up pieces)
    // Of a Pareto chart: value is the count, `serial` the reason's code. Of a probability chart: `serial` is the
    // standard normal score that belongs to the value; points in rising order, at most 500.
    std::vector<ChartPointText> points;
    std::vector<Message> notes;
};

struct Audit {
    Scope scope;
    // Instead of a scope: the sheets are those of this gauge study, or of this sample that was measured again.
    std::string study, sample;
    std::string title;  // what of, as text: "2026-11-25/1"
    std::string unit;   // "mm" or "in"
    std::string time_zone;
    std::int64_t made_ms = 0;
    JournalFact journal;
    std::int64_t verified_ms = 0;               // when the journal was read through; 0: it was not
    std::map<std::string, std::string> people;  // names by id, of those who stand in its cells
    std::vector<Sheet> sheets;
    std::vector<Chart> charts;
    std::vector<Message> notes;
};

// How the lead wants it: which run rules, how much of the charts. And what no fact of the journal can say.
struct Choices {
    std::vector<std::string> rules;  // empty: those of the facts
    bool charts = true;
    std::int64_t verified_ms = 0;  // when the journal was read through, see JournalFact::verified_seq
};

Audit make_audit(const AuditFacts& facts, const Choices& choices = {});

const Sheet* find_sheet(const Audit& audit, std::string_view id);

// Puts into `people` the names of those who stand in the cells, out of all names by id. Who has none stays an id.
void name_people(Audit& audit, const std::map<std::string, std::string>& names);

}  // namespace crimpgate::audit
