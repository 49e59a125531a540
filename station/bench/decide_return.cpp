// A hose that came back: opened, asked about, measured at the bench, concluded. What is found on it is written down
// beside its record; the record and its verdicts stay as they were (R1, R3).
#include <algorithm>

#include "specs/dates.h"
#include "specs/failure_modes.h"
#include "station/bench/decider.h"
#include "station/bench/return_steps.h"

namespace crimpgate {

using namespace entries;

namespace {

// The return, still open; "returned.no_return", "returned.concluded_already".
Result<const ReturnState*> open_one(const BenchState& s, const std::string& number) {
    const auto found = s.record.returns.find(number);
    if (found == s.record.returns.end()) return refuse(message("returned.no_return").with("return", number));
    if (found->second.concluded) return refuse(message("returned.concluded_already").with("return", number));
    return &found->second;
}

Result<void> filled_in(const char* field, const std::string& text) {
    if (text.empty()) return refuse(message("bench.field_empty").with("field", field));
    return {};
}

// Each thing once, and none without words.
Result<void> read_off_fits(const std::vector<ReadOff>& all) {
    std::set<std::string> seen;
    for (const auto& one : all) {
        if (std::ranges::find(read_off_codes, one.what) == std::end(read_off_codes))
            return refuse(message("bench.no_such_choice").with("field", "read_off").with("found", one.what));
        if (auto ok = filled_in("read_off", one.value); !ok) return ok;
        if (!seen.insert(one.what).second) return refuse(message("returned.read_twice").with("what", one.what));
    }
    return {};
}

// In the table's order, so that the same answers are the same text.
std::string in_order(const ReturnAnswered& answer) {
    const auto* question = find_question(answer.question);
    if (question == nullptr) return answer.answer;
    const auto parts = answer_parts(answer.answer);
    std::string out;
    for (const auto& known : question->answers)
        if (std::ranges::find(parts, known.code) != parts.end())
            out += (out.empty() ? "" : "+") + std::string(known.code);
    return out.empty() ? answer.answer : out;
}

}  // namespace

Result<void> Decider::operator()(const commands::OpenReturn& c) {
    if (auto ok = must_be(Role::operator_); !ok) return ok;
    if (s_.clock_doubted) return refuse(message("bench.clock_in_doubt"));
    ReturnOpened opened = c.opened;
    if (opened.received.empty()) opened.received = now_.local_date;
    if (auto read = parse_date(opened.received); !read) return refuse(read.error());
    if (opened.received > now_.local_date)
        return refuse(message("returned.in_future").with("date", opened.received).with("today", now_.local_date));
    if (auto ok = read_off_fits(opened.read_off); !ok) return ok;
    if (opened.serial.empty()) {
        if (opened.read_off.empty() && opened.reported.empty()) return refuse(message("returned.nothing_known"));
    } else {
        // A serial mistyped would put another assembly's record beside this hose.
        if (s_.assemblies.find(opened.serial) == s_.assemblies.end())
            return refuse(message("returned.no_serial").with("serial", opened.serial));
        for (const auto& [number, other] : s_.record.returns)
            if (other.opened.serial == opened.serial && !other.concluded)
                return refuse(message("returned.open_already").with("serial", opened.serial).with("return", number));
    }
    opened.return_ = "RT-" + std::to_string(s_.record.returns_opened + 1);
    const auto number = opened.return_;
    const bool hurt = opened.someone_hurt;
    emit(std::move(opened));
    // Not being told is not the same as "nobody": that stays a question.
    if (hurt) emit(ReturnAnswered{number, "hurt", "yes", ""});
    return {};
}

Result<void> Decider::operator()(const commands::AnswerReturn& c) {
    if (auto ok = must_be(Role::operator_); !ok) return ok;
    const auto open = open_one(s_, c.answer.return_);
    if (!open) return refuse(open.error());
    ReturnAnswered answer = c.answer;
    if (auto ok = answer_fits(**open, answer); !ok) return ok;
    answer.answer = in_order(answer);
    if (answer.answer == "again") answer.text = std::to_string((*open)->measured.size());
    const auto before = (*open)->answers.find(answer.question);
    if (before != (*open)->answers.end() && before->second.answer == answer.answer &&
        before->second.text == answer.text)
        return {};  // said already
    emit(std::move(answer));
    return {};
}

Result<void> Decider::operator()(const commands::BeginReturn& c) {
    if (auto ok = may_work(); !ok) return ok;
    if (auto ok = open_one(s_, c.return_); !ok) return refuse(ok.error());
    if (!s_.current.empty()) return refuse(message("bench.assembly_in_work").with("serial", s_.current));
    if (!s_.stopped.empty()) return refuse(message("bench.quarantine_first").with("serial", s_.stopped));
    if (!s_.study.empty()) return refuse(message("bench.study_running").with("study", s_.study));
    if (!s_.sample.empty()) return refuse(message("bench.sample_running").with("sample", s_.sample));
    if (s_.record.returned == c.return_) return {};
    if (!s_.record.returned.empty()) return refuse(message("returned.running").with("return", s_.record.returned));
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
    const auto open = open_one(s_, c.concluded.return_);
    if (!open) return refuse(open.error());
    if (s_.record.returned == c.concluded.return_)
        return refuse(message("returned.still_measured").with("return", c.concluded.return_));
    const auto& cause = c.concluded.cause;
    if (!cause.empty() && find_mode(cause) == nullptr)
        return refuse(message("bench.no_such_choice").with("field", "cause").with("found", cause));
    // "Not known" is a finding too, and whoever finds it says why.
    if (cause.empty() && c.concluded.remark.empty()) return refuse(message("returned.say_why"));
    // R9: whoever made it does not judge it by themselves, as nobody settles their own hold.
    const auto* assembly = assembly_of(s_, **open);
    if (assembly != nullptr && assembly->measured_by.contains(who_) && !rules_.own_hold_may_be_settled)
        return refuse(message("returned.own_work").with("serial", (*open)->opened.serial));
    emit(c.concluded);
    return {};
}

Result<void> Decider::operator()(const commands::ReopenReturn& c) {
    if (auto ok = must_be(Role::lead); !ok) return ok;
    const auto found = s_.record.returns.find(c.return_);
    if (found == s_.record.returns.end()) return refuse(message("returned.no_return").with("return", c.return_));
    if (!found->second.concluded) return refuse(message("returned.not_concluded").with("return", c.return_));
    if (auto ok = filled_in("reason", c.reason); !ok) return ok;
    emit(ReturnReopened{c.return_, c.reason});
    return {};
}

// Written down and never judged: a part that was under pressure is no part of the work any more.
void Decider::returned_reading(const commands::GaugeSaid& c, const Reading& reading, const NextStep& next) {
    if (next.turn == 0)
        return refuse_reading(c, reading, message("returned.all_measured").with("return", s_.record.returned));
    const auto& returned = s_.record.returns.at(s_.record.returned);
    const Length uncertainty = s_.gauges.at(c.gauge).registered.uncertainty;
    if (const auto* assembly = assembly_of(s_, returned)) {
        std::vector<GaugeChoice> others;
        for (const auto& [id, gauge] : s_.gauges)
            if (id != c.gauge) others.push_back({id, gauge.registered.uncertainty});
        if (auto suits = gauge_suits(assembly->row(next.end), {c.gauge, uncertainty}, others); !suits)
            return refuse_reading(c, reading, std::move(suits.error()));
    }
    // A distance from an edge has no sign, and a shell has a size (R8).
    const bool mark = next.what == Characteristic::mark_after;
    if (reading.value < Length{} || (!mark && reading.value == Length{}))
        return refuse_reading(c, reading, message("returned.no_size").with("gauge", c.gauge));
    const auto t = taken(c, reading);
    ReturnMeasured m;
    m.return_ = s_.record.returned;
    m.end = next.end;
    m.what = next.what;
    m.flat = next.flat;
    m.gauge = t.gauge;
    m.proof_seq = t.proof_seq;
    m.value = t.value;
    m.unit = t.unit;
    m.resolution = t.resolution;
    m.uncertainty = uncertainty;
    m.raw_hex = t.raw_hex;
    m.arrived_utc_ms = t.arrived_utc_ms;
    emit(std::move(m));
}

}  // namespace crimpgate
