#include "station/proof/text_lines.h"

#include "station/json/canonical.h"

namespace crimpgate {

std::optional<std::vector<std::string_view>> lines_of(std::string_view text) {
    std::vector<std::string_view> lines;
    while (!text.empty()) {
        const auto end = text.find('\n');
        if (end == std::string_view::npos) return std::nullopt;
        lines.push_back(text.substr(0, end));
        text.remove_prefix(end + 1);
    }
    return lines;
}

std::optional<std::int64_t> strict_number(std::string_view text) {
    if (text.empty() || text.size() > 16 || (text.size() > 1 && text[0] == '0')) return std::nullopt;
    std::int64_t number = 0;
    for (const char c : text) {
        if (c < '0' || c > '9') return std::nullopt;
        number = number * 10 + (c - '0');
    }
    if (number > json_integer_limit) return std::nullopt;
    return number;
}

}  // namespace crimpgate
