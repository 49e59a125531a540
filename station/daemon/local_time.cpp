#include "station/daemon/local_time.h"

#include <date/tz.h>
#include <fmt/format.h>

#include <chrono>

namespace crimpgate {

std::string local_date(std::int64_t utc_ms, const std::string& zone) {
    const date::sys_time<std::chrono::milliseconds> instant{std::chrono::milliseconds(utc_ms)};
    const auto local = date::locate_zone(zone)->to_local(instant);
    const date::year_month_day day{date::floor<date::days>(local)};
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(day.year()), static_cast<unsigned>(day.month()),
                       static_cast<unsigned>(day.day()));
}

std::string local_time_text(std::int64_t utc_ms, const std::string& zone) {
    const date::sys_time<std::chrono::milliseconds> instant{std::chrono::milliseconds(utc_ms)};
    const auto local = date::floor<std::chrono::seconds>(date::locate_zone(zone)->to_local(instant));
    const date::hh_mm_ss clock{local - date::floor<date::days>(local)};
    return fmt::format("{} {:02}:{:02}:{:02}", local_date(utc_ms, zone), clock.hours().count(), clock.minutes().count(),
                       clock.seconds().count());
}

std::int64_t day_begins_ms(Date day, const std::string& zone) {
    const date::year_month_day same{date::year{static_cast<int>(day.year())},
                                    date::month{static_cast<unsigned>(day.month())},
                                    date::day{static_cast<unsigned>(day.day())}};
    const auto begins = date::locate_zone(zone)->to_sys(date::local_days(same), date::choose::earliest);
    return std::chrono::duration_cast<std::chrono::milliseconds>(begins.time_since_epoch()).count();
}

Result<void> check_time_zone(const std::string& zone) {
    try {
        date::locate_zone(zone);
        return {};
    } catch (const std::exception&) {  // the library's own way to say "not there"
        return refuse(message("time.unknown_zone").with("zone", zone));
    }
}

}  // namespace crimpgate
