// A hose that came back: opened, asked about, measured at the bench, concluded.
#include "station/bench/decider.h"

namespace crimpgate {

using namespace entries;

namespace {

// The return, still open; "returned.no_return", "returned.concluded_already".
Result<void> open_one(const BenchState& s, const std::string& number) {
    const auto found = s.record.returns.find(number);
    if (found == s.record.returns.end()) return refuse(message("returned.no_return").with("return", number));
    if (found->second.concluded) return refuse(message("returned.concluded_already").with("return", number));
    return {};
}

}  // namespace

Result<void> Decider::operator()(const commands::OpenReturn& c) {
    if (auto ok = must_be(Role::operator_); !ok) return ok;
    if (s_.clock_doubted) return refuse(message("bench.clock_in_doubt"));
    ReturnOpened opened = c.opened;
    opened.return_ = "RT-" + std::to_string(s_.record.returns_opened + 1);
    if (opened.received.empty()) opened.received = now_.local_date;
    emit(std::move(opened));
    return {};
}

Result<void> Decider::operator()(const commands::AnswerReturn& c) {
    if (auto ok = must_be(Role::operator_); !ok) return ok;
    if (auto ok = open_one(s_, c.answer.return_); !ok) return ok;
    emit(c.answer);
    return {};
}

Result<void> Decider::operator()(const commands::BeginReturn& c) {
    if (auto ok = may_work(); !ok) return ok;
    if (auto ok = open_one(s_, c.return_); !ok) return ok;
    if (!s_.current.empty()) return refuse(message("bench.assembly_in_work").with("serial", s_.current));
    if (!s_.stopped.empty()) return refuse(message("bench.quarantine_first").with("serial", s_.stopped));
    emit(ReturnBegun{c.return_});
    return {};
}

Result<void> Decider::operator()(const commands::LeaveReturn&) {
    if (auto ok = may_work(); !ok) return ok;
    if (s_.record.returned.empty()) return refuse(message("returned.none_begun"));
    emit(ReturnLeft{s_.record.returned});
    return {};
}

Result<void> Decider::operator()(const commands::ConcludeReturn& c) {
    if (auto ok = must_be(Role::lead); !ok) return ok;
    if (s_.clock_doubted) return refuse(message("bench.clock_in_doubt"));
    if (auto ok = open_one(s_, c.concluded.return_); !ok) return ok;
    if (s_.record.returned == c.concluded.return_)
        return refuse(message("returned.still_measured").with("return", c.concluded.return_));
    emit(c.concluded);
    return {};
}

Result<void> Decider::operator()(const commands::ReopenReturn& c) {
    if (auto ok = must_be(Role::lead); !ok) return ok;
    const auto found = s_.record.returns.find(c.return_);
    if (found == s_.record.returns.end()) return refuse(message("returned.no_return").with("return", c.return_));
    if (!found->second.concluded) return refuse(message("returned.not_concluded").with("return", c.return_));
    if (c.reason.empty()) return refuse(message("bench.field_empty").with("field", "reason"));
    emit(ReturnReopened{c.return_, c.reason});
    return {};
}

}  // namespace crimpgate
