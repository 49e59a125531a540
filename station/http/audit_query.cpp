#include "station/http/audit_query.h"

#include <algorithm>

namespace crimpgate {

Result<AuditQuery> audit_query(const std::map<std::string, std::string>& query,
                               std::initializer_list<std::string_view> more) {
    AuditQuery out;
    auto& s = out.wanted.scope;
    const std::map<std::string_view, std::string*> members = {
        {"shift", &s.shift},     {"from", &s.from_day},        {"to", &s.to_day},
        {"order", &s.order},     {"customer", &s.customer},    {"spec", &s.spec},
        {"die_set", &s.die_set}, {"hose_lot", &s.hose_lot},    {"gauge", &s.gauge},
        {"person", &s.person},   {"study", &out.wanted.study}, {"sample", &out.wanted.sample}};
    for (const auto name : more)
        out.more[std::string(name)];
    for (const auto& [name, value] : query) {
        if (value.empty()) return refuse(message("api.empty_parameter").with("name", name));
        if (const auto member = members.find(name); member != members.end())
            *member->second = value;
        else if (const auto known = out.more.find(name); known != out.more.end())
            known->second = value;
        else
            return refuse(message("api.unknown_parameter").with("name", name));
    }
    if (auto sound = check_wanted(out.wanted); !sound) return refuse(sound.error());
    return out;
}

Result<std::string> word_of(const AuditQuery& query, const std::string& name,
                            std::initializer_list<std::string_view> words) {
    const auto& found = query.more.at(name);
    if (found.empty()) return std::string(*words.begin());
    if (std::find(words.begin(), words.end(), found) != words.end()) return found;
    std::string may;
    for (const auto word : words)
        may += (may.empty() ? "" : ", ") + std::string(word);
    return refuse(message("api.bad_parameter").with("name", name).with("found", found).with("may", may));
}

}  // namespace crimpgate
