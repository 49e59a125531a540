#include "tests/outside/case.h"

#include <array>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <stdexcept>

namespace crimpgate::outside {
namespace {

std::vector<std::string> words_of(const std::string& line) {
    std::vector<std::string> words;
    std::size_t at = 0;
    while ((at = line.find_first_not_of(' ', at)) != std::string::npos) {
        const auto end = std::min(line.find(' ', at), line.size());
        words.push_back(line.substr(at, end - at));
        at = end;
    }
    return words;
}

std::vector<double> numbers_in(const std::vector<std::string>& words) {
    std::vector<double> numbers;
    for (const auto& word : words)
        numbers.push_back(number_in(word));
    return numbers;
}

}  // namespace

double number_in(const std::string& word) {
    double number = 0;
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), number);
    if (error != std::errc() || end != word.data() + word.size()) throw std::runtime_error("no number: " + word);
    return number;
}

bool Case::has(std::string_view key) const {
    for (const auto& line : lines)
        if (line.first == key) return true;
    return false;
}

const std::vector<std::string>& Case::words(std::string_view key) const {
    for (const auto& line : lines)
        if (line.first == key) return line.second;
    throw std::runtime_error(name + " lacks " + std::string(key));
}

double Case::number(std::string_view key) const {
    return number_in(words(key).at(0));
}

std::int64_t Case::count(std::string_view key) const {
    return std::llround(number(key));
}

std::optional<double> Case::maybe(std::string_view key) const {
    return has(key) ? std::optional(number(key)) : std::nullopt;
}

std::vector<double> Case::numbers(std::string_view key) const {
    return has(key) ? numbers_in(words(key)) : std::vector<double>();
}

std::vector<std::vector<double>> Case::all(std::string_view key) const {
    std::vector<std::vector<double>> found;
    for (const auto& line : lines)
        if (line.first == key) found.push_back(numbers_in(line.second));
    return found;
}

std::vector<Case> read_cases(std::ifstream& file) {
    std::vector<Case> cases;
    bool open = false;
    for (std::string line; std::getline(file, line);) {
        auto words = words_of(line);
        if (words.empty()) {
            open = false;
        } else if (words[0] == "#") {
            continue;
        } else if (words[0] == "case") {
            if (open || words.size() != 3) throw std::runtime_error("no beginning of a case: " + line);
            cases.emplace_back();
            cases.back().name = words[1];
            cases.back().kind = words[2];
            open = true;
        } else {
            if (!open) throw std::runtime_error("a line outside a case: " + line);
            auto key = words.front();
            words.erase(words.begin());
            cases.back().lines.emplace_back(std::move(key), std::move(words));
        }
    }
    return cases;
}

void Figures::line(std::string_view figure, std::string_view value) const {
    const std::string text = of_ + " " + prefix_ + std::string(figure) + " " + std::string(value) + "\n";
    if (std::fwrite(text.data(), 1, text.size(), stdout) != text.size()) throw std::runtime_error("cannot write");
}

void Figures::say(std::string_view figure, double value) const {
    std::array<char, 64> text;
    const auto end =
        std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::scientific, 16).ptr;
    line(figure, std::string_view(text.data(), static_cast<std::size_t>(end - text.data())));
}

void Figures::say(std::string_view figure, std::optional<double> value) const {
    value ? say(figure, *value) : line(figure, "-");
}

void Figures::say(std::initializer_list<std::pair<std::string_view, double>> several) const {
    for (const auto& [figure, value] : several)
        say(figure, value);
}

void Figures::refused(std::string_view figure) const {
    line(figure, "refused");
}

Figures Figures::under(std::string_view prefix) const {
    Figures below(of_);
    below.prefix_ = prefix_ + std::string(prefix) + ".";
    return below;
}

}  // namespace crimpgate::outside
