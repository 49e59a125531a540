// A spec table to change in tests: one good row, of which a test changes what it is about.
#pragma once

#include <fstream>
#include <iterator>
#include <string>
#include <utility>
#include <vector>

#include "specs/csv_write.h"
#include "specs/spec_columns.h"
#include "specs/spec_table.h"
#include "tests/support/catch.h"

namespace crimpgate::spec_sheet {

inline std::string file_text(const std::string& name) {
    std::ifstream file(std::string(CRIMPGATE_SOURCE_DIR) + "/specs/" + name, std::ios::binary);
    REQUIRE(file.is_open());
    return {std::istreambuf_iterator<char>(file), {}};
}

// A good one-row table in memory, of which a test changes what it is about.
class Sheet {
  public:
    using Changes = std::vector<std::pair<std::string, std::string>>;

    Sheet() {
        const auto file = read_csv(file_text("examples/demo_table.csv"));
        for (const auto& field : file.rows[0].fields)
            names_.push_back(field.text);
        for (const auto& field : file.rows[1].fields)
            first_.push_back(field.text);
        rows_.push_back(first_);
    }

    Sheet& set(const Changes& changes, std::size_t row = 0) {
        for (const auto& [name, text] : changes)
            rows_[row][index(name)] = text;
        return *this;
    }
    Sheet& add(const Changes& changes) {
        rows_.push_back(first_);
        return set(changes, rows_.size() - 1);
    }
    Sheet& rename(const std::string& from, const std::string& to) {
        names_[index(from)] = to;
        return *this;
    }
    Sheet& drop(const std::string& name) {
        const auto i = static_cast<std::ptrdiff_t>(index(name));
        names_.erase(names_.begin() + i);
        for (auto& row : rows_)
            row.erase(row.begin() + i);
        return *this;
    }
    Sheet& column(const std::string& name, const std::string& text) {
        names_.push_back(name);
        for (auto& row : rows_)
            row.push_back(text);
        return *this;
    }
    const std::vector<std::string>& names() const { return names_; }
    const std::string& cell(const std::string& name) const { return rows_[0][index(name)]; }

    std::string text() const {
        std::string all = csv_row(names_);
        for (const auto& row : rows_) {
            for (std::size_t i = 0; i < row.size(); ++i)
                all += (i == 0 ? "\"" : ",\"") + row[i] + "\"";
            all += "\r\n";
        }
        return all;
    }

  private:
    std::size_t index(const std::string& name) const {
        for (std::size_t i = 0; i < names_.size(); ++i)
            if (names_[i] == name) return i;
        FAIL("the example has no column " << name);
        return 0;
    }

    std::vector<std::string> names_;
    std::vector<std::string> first_;
    std::vector<std::vector<std::string>> rows_;
};

inline SpecRow only_row(const Sheet& sheet) {
    const auto table = parse_spec_table(sheet.text());
    if (!table) FAIL(table.error().front().column << ": " << table.error().front().why.code);
    REQUIRE(table->rows.size() == 1);
    return table->rows.front();
}

// "line column code" of every error.
inline std::vector<std::string> errors(std::string_view csv) {
    const auto table = parse_spec_table(csv);
    std::vector<std::string> all;
    if (table) return all;
    for (const auto& e : table.error())
        all.push_back(std::to_string(e.line) + " " + e.column + " " + e.why.code);
    return all;
}

inline std::vector<std::string> errors(const Sheet& sheet) {
    return errors(sheet.text());
}

// The only error of a sheet with these changes: "column code".
inline std::string the_error(const Sheet::Changes& changes) {
    const auto all = errors(Sheet().set(changes));
    if (all.empty()) return "none";
    return all.size() == 1 ? all[0].substr(2) : std::to_string(all.size()) + " errors, first " + all[0];
}

inline Length mm(std::string_view text) {
    return Length::parse_mm(text).value();
}

using Lines = std::vector<std::string>;

}  // namespace crimpgate::spec_sheet
