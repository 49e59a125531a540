// The drift watch as the bench shows it: the last ends of the running set-up, their limits, and what it asks for.
#include <boost/json.hpp>

#include "station/bench/drift_watch.h"
#include "station/bench/show_parts.h"
#include "station/entries/describe_entries.h"
#include "station/json/reflect.h"

namespace crimpgate {

namespace json = boost::json;

json::object watch_json(const BenchState& s, const SpecRow& row, const std::string& hose_lot) {
    json::object out;
    if (const auto seen = drift_seen(s, row, hose_lot)) {
        json::array points;
        for (const auto& p : seen->points)
            points.push_back(json::object{{"seq", p.seq},
                                          {"serial", p.serial},
                                          {"end", reflect::enum_name(p.end)},
                                          {"mean_nm", p.mean.nm()},
                                          {"spread_nm", p.spread.nm()}});
        out["points"] = std::move(points);
        out["level_nm"] = seen->level.nm();
        if (seen->centre) {
            out["centre_nm"] = seen->centre->nm();
            out["lower_nm"] = seen->lower->nm();
            out["upper_nm"] = seen->upper->nm();
        }
    }
    // Until the next set-up piece sits well.
    if (const auto drifted = s.drifted.find(setup_key(row, hose_lot)); drifted != s.drifted.end())
        out["warned"] = reflect::write_struct(drifted->second);
    return out;
}

}  // namespace crimpgate
