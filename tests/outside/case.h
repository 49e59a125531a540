// A case of the cross-check as it stands in a data file, and the figures that are said about it.
//
// A data file is plain text. A case is a block of lines ended by an empty one: "case NAME KIND", then lines of a key
// and its words ("x 1 2 3"; a key may come more than once). Numbers carry 17 significant digits, so that every reader
// sees the same doubles. A figure is a line "CASE FIGURE VALUE": a number with 17 significant digits, "-" where there
// is none for such data, "refused" where the data are refused. Unit: whatever the data file means; nothing is
// converted. Errors: a file that cannot be understood throws std::runtime_error, which ends the program.
#pragma once

#include <cstdint>
#include <fstream>
#include <initializer_list>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace crimpgate::outside {

class Case {
  public:
    std::string name, kind;
    std::vector<std::pair<std::string, std::vector<std::string>>> lines;

    bool has(std::string_view key) const;
    const std::vector<std::string>& words(std::string_view key) const;
    double number(std::string_view key) const;
    std::int64_t count(std::string_view key) const;
    std::optional<double> maybe(std::string_view key) const;  // nothing where the key is missing
    std::vector<double> numbers(std::string_view key) const;  // empty where the key is missing
    // Each line with that key.
    std::vector<std::vector<double>> all(std::string_view key) const;
};
double number_in(const std::string& word);
std::vector<Case> read_cases(std::ifstream& file);

// Says figures of one case on the standard output.
class Figures {
  public:
    explicit Figures(const std::string& of) : of_(of) {}
    void say(std::string_view figure, double value) const;
    void say(std::string_view figure, std::optional<double> value) const;
    void say(std::initializer_list<std::pair<std::string_view, double>> several) const;
    void refused(std::string_view figure) const;
    // The same, with this before the name of each figure.
    Figures under(std::string_view prefix) const;

  private:
    void line(std::string_view figure, std::string_view value) const;
    std::string of_, prefix_;
};

// One for each kind of case.
void say_values(const Case& given, const Figures& figures);
void say_groups(const Case& given, const Figures& figures);
void say_table(const Case& given, const Figures& figures);
void say_pairs(const Case& given, const Figures& figures);
void say_constants(const Case& given, const Figures& figures);
void say_distributions(const Case& given, const Figures& figures);
void say_run_lengths(const Case& given, const Figures& figures);
void say_tolerance(const Case& given, const Figures& figures);
void say_budget(const Case& given, const Figures& figures);
void say_lot(const Case& given, const Figures& figures);

}  // namespace crimpgate::outside
