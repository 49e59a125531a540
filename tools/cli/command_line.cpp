#include "tools/cli/command_line.h"

#include <algorithm>
#include <charconv>

#include "specs/shown_text.h"

namespace crimpgate::cli {

namespace {

bool among(const std::vector<std::string_view>& list, std::string_view name) {
    return std::find(list.begin(), list.end(), name) != list.end();
}

}  // namespace

std::string CommandLine::value(std::string_view option) const {
    const auto found = options.find(option);
    return found == options.end() ? std::string() : found->second;
}

Result<CommandLine> parse_command_line(const Grammar& grammar, const std::vector<std::string>& arguments) {
    CommandLine line;
    bool options_over = false;
    for (std::size_t i = 0; i < arguments.size(); ++i) {
        const std::string& word = arguments[i];
        if (options_over || !word.starts_with("-") || word == "-") {
            line.words.push_back(word);
            continue;
        }
        if (word == "--") {
            options_over = true;
            continue;
        }
        if (line.has(word)) return refuse(message("arguments.twice").with("name", word));
        if (among(grammar.flags, word)) {
            line.options[word] = {};
        } else if (!among(grammar.valued, word)) {
            return refuse(message("cli.unknown_option")
                              .with("option", shown_text(word))
                              .with("command", std::string(grammar.command)));
        } else if (i + 1 == arguments.size()) {
            return refuse(message("arguments.no_value").with("name", word));
        } else {
            line.options[word] = arguments[++i];
        }
    }
    if (line.words.size() < grammar.words.size())
        return refuse(message("cli.missing_word")
                          .with("command", grammar.command)
                          .with("word", grammar.words[line.words.size()]));
    if (line.words.size() > grammar.words.size())
        return refuse(message("cli.word_too_many")
                          .with("command", grammar.command)
                          .with("found", shown_text(line.words[grammar.words.size()])));
    return line;
}

Result<std::int64_t> number_in(const CommandLine& line, std::string_view option, std::int64_t otherwise,
                               std::int64_t least, std::int64_t most) {
    if (!line.has(option)) return otherwise;
    const std::string text = line.value(option);
    std::int64_t number = 0;
    const auto [end, ec] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (ec != std::errc{} || end != text.data() + text.size() || number < least || number > most)
        return refuse(message("arguments.bad_number")
                          .with("name", option)
                          .with("found", shown_text(text))
                          .with("least", std::to_string(least))
                          .with("most", std::to_string(most)));
    return number;
}

}  // namespace crimpgate::cli
