// The words behind `crimpgate`: a command, what it is about, and options, each at most once and none unknown.
//
// Options may stand before or after the other words; "--" ends them. A wrong use is told with the command's own usage
// line, so that nobody has to guess which part was meant.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"

namespace crimpgate::cli {

// What the program ends with; `crimpgate help` tells the same.
enum Exit : int {
    fine = 0,
    found_wrong = 1,  // with what was checked: errors in a table, damage in a journal
    wrong_use = 2,
    cannot = 3,
};

// What a command takes.
struct Grammar {
    std::string_view command;
    std::vector<std::string_view> words;   // each must be given: "SERIAL"
    std::vector<std::string_view> valued;  // "--table"
    std::vector<std::string_view> flags;   // "--json"
};

struct CommandLine {
    std::vector<std::string> words;
    std::map<std::string, std::string, std::less<>> options;

    bool has(std::string_view option) const { return options.contains(option); }
    std::string value(std::string_view option) const;  // empty when it was not given
};

// `arguments`: what follows the command. "arguments.*", "cli.missing_word" or "cli.word_too_many".
Result<CommandLine> parse_command_line(const Grammar& grammar, const std::vector<std::string>& arguments);

// A whole number in that option, `otherwise` when it was not given. "arguments.bad_number".
Result<std::int64_t> number_in(const CommandLine& line, std::string_view option, std::int64_t otherwise,
                               std::int64_t least, std::int64_t most);

}  // namespace crimpgate::cli
