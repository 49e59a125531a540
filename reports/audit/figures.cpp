#include "reports/audit/figures.h"

#include <algorithm>
#include <chrono>
#include <cmath>

#include <fmt/format.h>
#include <boost/json/object.hpp>
#include <boost/json/serialize.hpp>

namespace crimpgate::audit {

std::string count_text(std::int64_t count) {
    return fmt::format("{}", count);
}

std::string percent_text(std::int64_t part, std::int64_t whole) {
    if (whole <= 0) return {};
    const std::int64_t tenths = (2000 * part + whole) / (2 * whole);
    return fmt::format("{}.{}", tenths / 10, tenths % 10);
}

std::string percent_text(double share) {
    return number_text(100 * share, 1);
}

std::string number_text(double value, int places) {
    if (!std::isfinite(value)) return {};
    std::string text = fmt::format("{:.{}f}", value, places);
    if (text.front() == '-' && text.find_first_not_of("-0.") == std::string::npos) text.erase(0, 1);
    return text;
}

std::string chance_text(double p) {
    if (!std::isfinite(p)) return {};
    if (p >= 0.0001) return number_text(p, 4);
    return p <= 0 ? "0.0000" : fmt::format("{:.1e}", p);
}

std::string time_text(std::int64_t utc_ms) {
    if (utc_ms == 0) return {};
    using namespace std::chrono;
    const sys_time<milliseconds> at{milliseconds{utc_ms}};
    const auto day = floor<days>(at);
    const year_month_day date{day};
    const std::int64_t ms = (at - day).count();
    return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}.{:03}Z", static_cast<int>(date.year()),
                       static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()), ms / 3'600'000,
                       ms / 60'000 % 60, ms / 1'000 % 60, ms % 1'000);
}

std::string seconds_text(std::int64_t ms) {
    const std::int64_t tenths = (std::max<std::int64_t>(ms, 0) + 50) / 100;
    return fmt::format("{}.{}", tenths / 10, tenths % 10);
}

std::string message_text(const Message& message) {
    std::vector<Detail> sorted = message.details;
    std::stable_sort(sorted.begin(), sorted.end(), [](const Detail& a, const Detail& b) { return a.name < b.name; });
    boost::json::object details;
    for (const Detail& detail : sorted)
        details[detail.name] = detail.text;
    boost::json::object whole;
    whole["code"] = message.code;
    whole["details"] = std::move(details);
    return boost::json::serialize(whole);
}

namespace {

Length rounded(double nm) {
    return Length::from_nm(std::llround(nm));
}

// Never "-0.0000": what rounds to nothing has no sign.
std::string without_sign_of_nothing(std::string text) {
    if (!text.empty() && text.front() == '-' && text.find_first_not_of("-0.") == std::string::npos) text.erase(0, 1);
    return text;
}

std::string in_unit(Length length, bool inches, int places) {
    return without_sign_of_nothing(inches ? length.to_inch_text(places) : length.to_mm_text(places));
}

}  // namespace

std::string LengthText::exact(Length length) const {
    const std::int64_t nm = length.nm();
    // 0.00001 in is 254 nm; 0.000001 in is 25.4 nm, of which only every fifth is a whole nanometre.
    if (inches_) return in_unit(length, true, nm % 254 != 0 && nm * 5 % 127 == 0 ? 6 : 5);
    return in_unit(length, false, nm % 100 == 0 ? 4 : nm % 10 == 0 ? 5 : 6);
}

std::string LengthText::mean(double nm) const {
    return std::isfinite(nm) ? in_unit(rounded(nm), inches_, inches_ ? 5 : 4) : std::string();
}

std::string LengthText::sd(double nm) const {
    return std::isfinite(nm) ? in_unit(rounded(nm), inches_, inches_ ? 6 : 5) : std::string();
}

}  // namespace crimpgate::audit
