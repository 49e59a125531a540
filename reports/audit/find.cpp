#include <algorithm>

#include "reports/audit/audit.h"
#include "reports/audit/cell_message.h"

namespace crimpgate::audit {

const Sheet* find_sheet(const Audit& audit, std::string_view id) {
    const auto found =
        std::find_if(audit.sheets.begin(), audit.sheets.end(), [&](const Sheet& sheet) { return sheet.id == id; });
    return found == audit.sheets.end() ? nullptr : &*found;
}

void name_people(Audit& audit, const std::map<std::string, std::string>& names) {
    const auto take = [&](const std::string& id) {
        if (const auto found = names.find(id); found != names.end()) audit.people.insert(*found);
    };
    const auto take_from = [&](const Message& message) {
        for (const auto& detail : message.details)
            if (names_person(detail)) take(detail.text);
    };
    for (const Sheet& sheet : audit.sheets) {
        for (const Message& note : sheet.notes)
            take_from(note);
        for (const auto& row : sheet.rows)
            for (std::size_t i = 0; i < row.size(); ++i) {
                if (row[i].empty()) continue;
                if (sheet.columns[i].kind == Cell::person) take(row[i]);
                if (sheet.columns[i].kind == Cell::message) take_from(message_in(row[i]));
            }
    }
    for (const Chart& chart : audit.charts)
        for (const Message& note : chart.notes)
            take_from(note);
}

}  // namespace crimpgate::audit
