#include "station/http/record_json.h"

#include <algorithm>

#include <boost/json.hpp>

#include "station/http/check_page.h"
#include "station/json/utc_text.h"
#include "station/proof/signed_note.h"

namespace crimpgate {

namespace json = boost::json;

std::string name_in_key(const std::string& key) {
    const auto read = parse_verifier_key(key);
    return read ? read->name : key;
}

json::object checkpoint_json(const KeptCheckpoint& one, const std::vector<KnownWitness>& witnesses) {
    json::array by;
    for (const auto& c : one.countersignatures) {
        json::object line{{"seq", c.seq},
                          {"key", c.key},
                          {"name", name_in_key(c.key)},
                          {"signed", utc_text(c.signed_utc_s * 1000)},
                          {"line", c.line}};
        const auto known = std::ranges::find(witnesses, c.key, &KnownWitness::key);
        if (known != witnesses.end()) line["holder"] = known->holder;
        by.push_back(std::move(line));
    }
    return {{"size", one.size},   {"seq", one.seq},   {"time", one.time}, {"who", one.who},
            {"cause", one.cause}, {"root", one.root}, {"note", one.note}, {"countersignatures", std::move(by)}};
}

Result<json::object> keys_json(const Journal& journal) {
    const auto known = station_keys(journal);
    if (!known) return refuse(known.error());
    json::array keys;
    for (auto one = known->rbegin(); one != known->rend(); ++one) {
        const auto entry = journal.entry(one->seq);
        if (!entry) return refuse(entry.error());
        const auto tag_key = check_key(one->name, one->tag_key, false);
        keys.push_back(json::object{{"key", one->key},
                                    {"tag_key", tag_key ? tag_key->key : ""},
                                    {"seq", one->seq},
                                    {"since", *entry ? (*entry)->time : ""},
                                    {"in_force", one == known->rbegin()},
                                    {"handed_over", !one->statement.empty()},
                                    {"statement", one->statement}});
    }
    const auto known_witnesses = witnesses(journal);
    if (!known_witnesses) return refuse(known_witnesses.error());
    json::array holders;
    for (const auto& one : *known_witnesses)
        holders.push_back(json::object{{"key", one.key}, {"name", name_in_key(one.key)}, {"holder", one.holder}});
    return json::object{{"keys", std::move(keys)}, {"witnesses", std::move(holders)}};
}

}  // namespace crimpgate
