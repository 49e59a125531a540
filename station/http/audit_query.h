// What an audit is asked for with, in an address: "shift=2026-11-25/1&charts=no".
#pragma once

#include <initializer_list>
#include <map>
#include <string>
#include <string_view>

#include "specs/message.h"
#include "station/daemon/audit_source.h"

namespace crimpgate {

struct AuditQuery {
    AuditWanted wanted;
    std::map<std::string, std::string> more;  // parameters beside the scope, by name; empty text when not given
};

// The scope's parameters: shift, from, to, order, customer, spec, die_set, hose_lot, gauge, person; or study or sample
// alone; and those of `more`. Refused by name: any other ("api.unknown_parameter"), one that is given and empty
// ("api.empty_parameter"), and what check_wanted refuses. (One that stands twice never comes this far: parse_target.)
Result<AuditQuery> audit_query(const std::map<std::string, std::string>& query,
                               std::initializer_list<std::string_view> more);

// One of these words, the first when not given; "api.bad_parameter" (name, found, may: the words).
Result<std::string> word_of(const AuditQuery& query, const std::string& name,
                            std::initializer_list<std::string_view> words);

}  // namespace crimpgate
