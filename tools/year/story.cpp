#include "tools/year/story.h"

#include <algorithm>

#include <boost/json/array.hpp>

#include "station/json/utc_text.h"

namespace crimpgate::year {

namespace json = boost::json;
using std::chrono::sys_days;

std::vector<Date> work_days(const YearChoice& choice) {
    const auto wanted = static_cast<std::size_t>((choice.assemblies + choice.per_day - 1) / choice.per_day);
    std::vector<Date> days;
    for (sys_days at = choice.until; days.size() < wanted; at -= std::chrono::days{1}) {
        const std::chrono::weekday day{at};
        if (day != std::chrono::Saturday && day != std::chrono::Sunday) days.emplace_back(at);
    }
    std::reverse(days.begin(), days.end());
    return days;
}

Story story_of(const YearChoice& choice, const std::vector<Date>& days) {
    Story story;
    story.planted = choice.faults;
    const std::size_t n = days.size();
    // The last five months; of a shorter run the last five twelfths.
    const auto five_months = std::chrono::year_month_day{sys_days{choice.until}} - std::chrono::months{5};
    story.wear_from = n * 7 / 12;
    if (n > 150)
        while (story.wear_from > 0 && days[story.wear_from - 1] >= five_months)
            --story.wear_from;
    story.lot_wanted = n * 28 / 100;
    story.bump_day = n * 52 / 100;
    // Monday to Friday of one week.
    const auto monday = [](Date date) {
        const sys_days at{date};
        return at - (std::chrono::weekday{at} - std::chrono::Monday);
    };
    std::size_t middle = n * 42 / 100;
    story.caliper_from = story.caliper_to = middle;
    while (story.caliper_from > 0 && monday(days[story.caliper_from - 1]) == monday(days[middle]))
        --story.caliper_from;
    while (story.caliper_to + 1 < n && monday(days[story.caliper_to + 1]) == monday(days[middle]))
        ++story.caliper_to;
    return story;
}

json::object to_json(const Story& story, const std::vector<Date>& days) {
    json::array faults;
    if (story.planted) {
        faults.push_back({{"fault", "die_wears"},
                          {"die_set", story.die_set},
                          {"from", to_text(days[story.wear_from])},
                          {"to", to_text(days.back())},
                          {"um", Story::wear_um}});
        faults.push_back({{"fault", "setting_bumped"},
                          {"shift", story.bump_shift},
                          {"from", utc_text(story.bump_from_ms)},
                          {"to", utc_text(story.bump_to_ms)},
                          {"um", Story::bump_um},
                          {"watch", "off for that shift, by an entry of the lead's"}});
        faults.push_back({{"fault", "caliper_low"},
                          {"gauge", story.caliper},
                          {"from", to_text(days[story.caliper_from])},
                          {"to", to_text(days[story.caliper_to])},
                          {"um", Story::caliper_um}});
        faults.push_back({{"fault", "bad_hose_lot"},
                          {"hose_lot", story.bad_lot},
                          {"from", utc_text(story.lot_from_ms)},
                          {"to", utc_text(story.lot_to_ms)},
                          {"um", Story::lot_um}});
    }
    return {{"from", to_text(days.front())}, {"to", to_text(days.back())}, {"faults", std::move(faults)}};
}

}  // namespace crimpgate::year
