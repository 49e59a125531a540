// Views: tables for search, made from the entries and from nothing else.
//
// They are filled in the transaction of the entry that they show, and can be dropped and built again to the same
// content. A column has the name of the body's member that it shows. One that ends in _yn is true or false, one in
// _json holds canonical JSON; lengths end in _nm, pressures in _kpa, points in time in _utc_ms (when something happened
// out there) or are the entry's own time text.
#pragma once

#include <string>
#include <vector>

#include "station/journal/database.h"
#include "station/journal/entry.h"

namespace crimpgate {

struct View {
    const char* name;
    const char* create;  // the table and its indexes
};

const std::vector<View>& views();

// Changes with every change of the tables above; a file whose views were made by another definition gets new ones.
std::string views_version();

void create_views(Database& database);
// The tables' names, parted by blanks: noted in the file, so that a program with other tables can drop these.
std::string view_names();
void drop_views(Database& database, std::string_view names);

// Whether this type of entry is known to the views, be it that it shows in none of them.
bool has_view(std::string_view type);

// Shows one entry in the views. Refused ("entry.unknown_type", "json.*") when the body is not what its type asks for;
// throws SQLite::Exception when it contradicts what is there (a serial given twice).
Result<void> project(Database& database, const Entry& entry);

}  // namespace crimpgate
