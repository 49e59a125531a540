#include "reports/qif_xml.h"

#include <fmt/format.h>

#include <chrono>

#include "specs/dates.h"

namespace crimpgate::qif {

namespace {

// The character at `at` and its length in bytes; length 1 and no character for what is no UTF-8 (RFC 3629 section 3).
struct Read {
    char32_t character = 0xFFFD;
    std::size_t length = 1;
};
Read character_at(std::string_view text, std::size_t at) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const unsigned first = byte(at);
    if (first < 0x80) return {first, 1};
    const std::size_t length = first >= 0xF0 ? 4 : first >= 0xE0 ? 3 : 2;
    if (first < 0xC2 || first > 0xF4 || at + length > text.size()) return {};
    char32_t out = first & (0x7FU >> length);
    for (std::size_t i = 1; i < length; ++i) {
        if ((byte(at + i) & 0xC0U) != 0x80U) return {};
        out = (out << 6U) | (byte(at + i) & 0x3FU);
    }
    constexpr char32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    if (out < least[length] || out > 0x10FFFF) return {};
    return {out, length};
}

bool in_xml(char32_t c) {
    return c == 0x9 || c == 0xA || c == 0xD || (c >= 0x20 && c <= 0xD7FF) || (c >= 0xE000 && c <= 0xFFFD) ||
           c >= 0x10000;
}

}  // namespace

std::string allowed(std::string_view text) {
    std::string out;
    for (std::size_t at = 0; at < text.size();) {
        const auto read = character_at(text, at);
        if (in_xml(read.character) && !(read.length == 1 && read.character == 0xFFFD)) {
            out += text.substr(at, read.length);
        } else {
            out += "\xEF\xBF\xBD";
        }
        at += read.length;
    }
    return out;
}

pugi::xml_node add(pugi::xml_node parent, const char* name) {
    return parent.append_child(name);
}

pugi::xml_node add(pugi::xml_node parent, const char* name, std::string_view text) {
    auto out = parent.append_child(name);
    out.append_child(pugi::node_pcdata).set_value(allowed(text).c_str());
    return out;
}

pugi::xml_node list(pugi::xml_node parent, const char* name) {
    auto out = parent.append_child(name);
    out.append_attribute("n").set_value(0);
    return out;
}

pugi::xml_node member(pugi::xml_node list, const char* name) {
    auto n = list.attribute("n");
    n.set_value(n.as_int() + 1);
    return list.append_child(name);
}

pugi::xml_node member(pugi::xml_node list, const char* name, std::string_view text) {
    auto out = member(list, name);
    out.append_child(pugi::node_pcdata).set_value(allowed(text).c_str());
    return out;
}

pugi::xml_node Attributes::one(const char* element, const char* name) {
    if (!all_) all_ = list(owner_, "Attributes");
    auto out = member(all_, element);
    out.append_attribute("name").set_value(allowed(name).c_str());
    return out;
}

void Attributes::text(const char* name, std::string_view value) {
    if (!value.empty()) one("AttributeStr", name).append_attribute("value").set_value(allowed(value).c_str());
}

void Attributes::number(const char* name, std::int64_t value) {
    one("AttributeI1", name).append_attribute("value").set_value(static_cast<long long>(value));
}

void Attributes::flag(const char* name, bool value) {
    one("AttributeBool", name).append_attribute("value").set_value(value);
}

std::string decimal(std::int64_t whole, int scale, int places_at_least) {
    std::uint64_t power = 1;
    for (int i = 0; i < scale; ++i)
        power *= 10;
    const std::uint64_t size = whole < 0 ? 0 - static_cast<std::uint64_t>(whole) : static_cast<std::uint64_t>(whole);
    std::string places = scale > 0 ? fmt::format("{:0{}}", size % power, scale) : "";
    while (!places.empty() && places.back() == '0' && places.size() > static_cast<std::size_t>(places_at_least))
        places.pop_back();
    return fmt::format("{}{}{}{}", whole < 0 ? "-" : "", size / power, places.empty() ? "" : ".", places);
}

std::string millimetres(Length length, int places_at_least) {
    return decimal(length.nm(), 6, places_at_least);
}

std::string bar(Pressure pressure) {
    return decimal(pressure.kpa(), 2);
}

int places_of(Length resolution) {
    std::int64_t step = resolution.nm();
    if (step <= 0 || step % 100 != 0) return 0;
    int places = 6;
    while (places > 0 && step % 10 == 0) {
        step /= 10;
        --places;
    }
    // 0.0005 mm shows four places; an inch gauge's 12.7 um and its like show none of their own.
    return step == 1 || step == 2 || step == 5 ? places : 0;
}

std::string utc(std::int64_t ms) {
    const std::chrono::sys_time<std::chrono::milliseconds> at{std::chrono::milliseconds(ms)};
    const auto day = std::chrono::floor<std::chrono::days>(at);
    const auto left = (at - day).count();
    return fmt::format("{}T{:02}:{:02}:{:02}.{:03}Z", to_text(std::chrono::year_month_day(day)), left / 3'600'000,
                       left / 60'000 % 60, left / 1000 % 60, left % 1000);
}

}  // namespace crimpgate::qif
