// The many ways in which a hose's standard and size are written (see hose_tables.h).
#include <string>
#include <utility>

#include "specs/hose_tables.h"

namespace crimpgate {

namespace {

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

// Capitals and digits only: "DIN EN 853:2015 / type 2sn" becomes "DINEN8532SN" after the year is dropped.
std::string squeezed(std::string_view written) {
    std::string out;
    for (std::size_t i = 0; i < written.size(); ++i) {
        const char c = written[i];
        if (c == ':') {  // a year
            while (i + 1 < written.size() && is_digit(written[i + 1]))
                ++i;
        } else if (c >= 'a' && c <= 'z') {
            out += static_cast<char>(c - 'a' + 'A');
        } else if (c != ' ' && c != '-' && c != '/') {
            out += c;
        }
    }
    return out;
}

void drop(std::string& text, std::string_view word, bool only_in_front) {
    const auto at = text.find(word);
    if (at == std::string::npos || (only_in_front && at != 0)) return;
    text.erase(at, word.size());
}

// Same hose, same figures: the standards' own statements of equivalence; R12 and R13 are one type in all three.
constexpr std::pair<std::string_view, std::string_view> names[] = {
    {"EN8531SN", "EN 853 1SN"},   {"ISO14361SN", "EN 853 1SN"},  {"ISO1436R1AT", "EN 853 1SN"},
    {"SAE100R1AT", "EN 853 1SN"}, {"100R1AT", "EN 853 1SN"},     {"EN8532SN", "EN 853 2SN"},
    {"ISO14362SN", "EN 853 2SN"}, {"ISO1436R2AT", "EN 853 2SN"}, {"SAE100R2AT", "EN 853 2SN"},
    {"100R2AT", "EN 853 2SN"},    {"EN8571SC", "EN 857 1SC"},    {"EN8572SC", "EN 857 2SC"},
    {"EN8564SP", "EN 856 4SP"},   {"ISO38624SP", "EN 856 4SP"},  {"EN8564SH", "EN 856 4SH"},
    {"ISO38624SH", "EN 856 4SH"}, {"EN856R12", "EN 856 R12"},    {"ISO3862R12", "EN 856 R12"},
    {"SAE100R12", "EN 856 R12"},  {"100R12", "EN 856 R12"},      {"EN856R13", "EN 856 R13"},
    {"ISO3862R13", "EN 856 R13"}, {"SAE100R13", "EN 856 R13"},   {"100R13", "EN 856 R13"},
};

// Nominal sizes of ISO 4397 and how they are printed; several prints may name one size.
constexpr std::pair<std::string_view, std::int64_t> sizes[] = {
    {"5", 3},   {"6", 4},   {"6.3", 4}, {"8", 5},   {"10", 6},  {"12", 8},  {"12.5", 8},
    {"13", 8},  {"16", 10}, {"19", 12}, {"20", 12}, {"25", 16}, {"31", 20}, {"31.5", 20},
    {"32", 20}, {"38", 24}, {"40", 24}, {"50", 32}, {"51", 32},
};

}  // namespace

std::string_view published_standard(std::string_view written) {
    std::string name = squeezed(written);
    drop(name, "DIN", true);
    drop(name, "BS", true);
    drop(name, "TYPE", false);
    if (name.starts_with("SAEJ517")) name.erase(3, 4);
    for (const auto& [known, standard] : names)
        if (name == known) return standard;
    return {};
}

std::optional<std::int64_t> dash_of_dn(std::string_view printed) {
    std::string size = squeezed(printed);
    drop(size, "DN", true);
    for (const auto& [known, dash] : sizes)
        if (size == known) return dash;
    return std::nullopt;
}

}  // namespace crimpgate
