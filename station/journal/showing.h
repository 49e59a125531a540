// One entry on its way into the tables of views.h. Internal to station/journal.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include <boost/json.hpp>

#include "station/journal/database.h"
#include "station/journal/entry.h"
#include "station/json/canonical.h"

namespace crimpgate {

// One entry on its way into the tables.
class Showing {
  public:
    Showing(Database& database, const Entry& entry) : database_(database), entry_(entry) {}

    std::int64_t seq() const { return entry_.seq; }
    const std::string& time() const { return entry_.time; }
    const std::string& who() const { return entry_.who; }
    std::string text(std::string_view member) const { return std::string(entry_.body.at(member).as_string()); }
    std::string text_in(std::string_view object, std::string_view member) const {
        return std::string(entry_.body.at(object).at(member).as_string());
    }
    std::int64_t whole(std::string_view member) const { return entry_.body.at(member).as_int64(); }
    bool yes(std::string_view member) const { return entry_.body.at(member).as_bool(); }
    std::string json_text(std::string_view member) const { return canonical(entry_.body.at(member)); }
    const boost::json::array& list(std::string_view member) const { return entry_.body.at(member).as_array(); }

    template <class... Values>
    int run(const char* sql, const Values&... values) {
        return database_.run(sql, values...);
    }

    // A row of seq, time, who and those members of the body; a member that is not there is NULL.
    void insert(std::string_view table, const std::vector<const char*>& columns) { put("INSERT", table, columns); }
    // The same, in place of the row with that key.
    void replace(std::string_view table, const std::vector<const char*>& columns) {
        put("INSERT OR REPLACE", table, columns);
    }

  private:
    void put(std::string_view verb, std::string_view table, const std::vector<const char*>& columns) {
        std::string names = "seq, time, who";
        std::string holes = "?, ?, ?";
        for (const char* column : columns) {
            names += std::string(", \"") + column + '"';
            holes += ", ?";
        }
        const std::string sql =
            std::string(verb) + " INTO " + std::string(table) + "(" + names + ") VALUES(" + holes + ")";
        std::vector<Cell> cells{Cell{entry_.seq}, Cell{entry_.time}, Cell{entry_.who}};
        for (const char* column : columns)
            cells.push_back(cell(column));
        database_.run_cells(sql.c_str(), cells);
    }

    Cell cell(std::string_view column) const {
        const bool truth = column.ends_with("_yn");
        const bool structure = column.ends_with("_json");
        const auto member = column.substr(0, column.size() - (truth ? 3 : structure ? 5 : 0));
        const auto* value = entry_.body.if_contains(member);
        if (value == nullptr) return {};
        if (truth) return Cell{static_cast<std::int64_t>(value->as_bool())};
        if (structure) return Cell{canonical(*value)};
        if (value->is_string()) return Cell{std::string(value->get_string())};
        return Cell{value->as_int64()};
    }

    Database& database_;
    const Entry& entry_;
};

using Show = std::function<void(Showing&)>;

// Those types, and the ones of record_entries.h.
std::map<std::string_view, Show> with_record_shows(std::map<std::string_view, Show> shows);

}  // namespace crimpgate
