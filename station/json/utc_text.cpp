#include "station/json/utc_text.h"

#include <chrono>
#include <stdexcept>

#include <fmt/format.h>

namespace crimpgate {
namespace {

using std::chrono::days;
using std::chrono::milliseconds;
using std::chrono::sys_days;
using std::chrono::sys_time;
using std::chrono::year_month_day;

constexpr std::string_view shape = "0000-00-00T00:00:00.000Z";  // 0 stands for any digit

std::int64_t digits(std::string_view text, std::size_t from, std::size_t count) {
    std::int64_t n = 0;
    for (const char c : text.substr(from, count))
        n = n * 10 + (c - '0');
    return n;
}

}  // namespace

std::string utc_text(std::int64_t utc_ms) {
    if (utc_ms < utc_ms_min || utc_ms > utc_ms_max) throw std::out_of_range("utc_text: year beyond 0000 to 9999");
    const sys_time<milliseconds> at{milliseconds{utc_ms}};
    const auto day = std::chrono::floor<days>(at);
    const year_month_day date{day};
    const std::int64_t ms = (at - day).count();
    return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}.{:03}Z", static_cast<int>(date.year()),
                       static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()), ms / 3'600'000,
                       ms / 60'000 % 60, ms / 1000 % 60, ms % 1000);
}

Result<std::int64_t> parse_utc_text(std::string_view text) {
    const auto refused = [&] { return refuse(message("time.not_utc_text").with("text", text)); };
    if (text.size() != shape.size()) return refused();
    for (std::size_t i = 0; i < shape.size(); ++i) {
        const bool fits = shape[i] == '0' ? text[i] >= '0' && text[i] <= '9' : text[i] == shape[i];
        if (!fits) return refused();
    }
    const year_month_day date{std::chrono::year{static_cast<int>(digits(text, 0, 4))},
                              std::chrono::month{static_cast<unsigned>(digits(text, 5, 2))},
                              std::chrono::day{static_cast<unsigned>(digits(text, 8, 2))}};
    const std::int64_t hour = digits(text, 11, 2);
    const std::int64_t minute = digits(text, 14, 2);
    const std::int64_t second = digits(text, 17, 2);
    if (!date.ok() || hour > 23 || minute > 59 || second > 59) return refused();
    const std::int64_t day_ms = sys_time<milliseconds>{sys_days{date}}.time_since_epoch().count();
    return day_ms + ((hour * 60 + minute) * 60 + second) * 1000 + digits(text, 20, 3);
}

}  // namespace crimpgate
