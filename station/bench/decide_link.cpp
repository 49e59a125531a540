// The customers' links: a lead makes them and takes them back.
#include "specs/dates.h"
#include "station/bench/decider.h"

namespace crimpgate {

using namespace entries;

std::string next_link(const BenchState& state) {
    return "TL-" + std::to_string(state.record.links.size() + 1);
}

Result<void> Decider::operator()(const commands::MakeLink& c) {
    if (auto ok = must_be(Role::lead); !ok) return ok;
    if (s_.clock_doubted) return refuse(message("bench.clock_in_doubt"));
    if (c.link.customer.empty()) return refuse(message("bench.field_empty").with("field", "customer"));
    // Whether the day has passed is for whoever asks to look at; that it is a day, for the record.
    if (!c.link.valid_until.empty())
        if (const auto day = parse_date(c.link.valid_until); !day) return refuse(day.error());
    LinkMade made = c.link;
    made.link = next_link(s_);
    made.certificate.reset();
    emit(std::move(made));
    return {};
}

Result<void> Decider::operator()(const commands::RevokeLink& c) {
    if (auto ok = must_be(Role::lead); !ok) return ok;
    const auto found = s_.record.links.find(c.link);
    if (found == s_.record.links.end()) return refuse(message("link.no_link").with("link", c.link));
    if (found->second.revoked) return refuse(message("link.revoked_already").with("link", c.link));
    if (c.reason.empty()) return refuse(message("bench.field_empty").with("field", "reason"));
    emit(LinkRevoked{c.link, c.reason});
    return {};
}

}  // namespace crimpgate
