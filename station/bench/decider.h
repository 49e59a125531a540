// The decisions' common ground; internal to station/bench.
#pragma once

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "station/bench/decide.h"

namespace crimpgate {

// The number that the next link to a customer will have.
std::string next_link(const BenchState& state);

class Decider {
  public:
    Decider(BenchState& state, const BenchRules& rules, std::string who, const Now& now)
        : s_(state), rules_(rules_in_force(rules, state)), who_(std::move(who)), now_(now) {}

    // decide_people.cpp
    Result<void> operator()(const commands::AddPerson& c);
    Result<void> operator()(const commands::SetSecret& c);
    Result<void> operator()(const commands::GiveRole& c);
    Result<void> operator()(const commands::GiveBadge& c);
    Result<void> operator()(const commands::RetirePerson& c);
    Result<void> operator()(const commands::ChooseLanguage& c);
    // decide_shop.cpp
    Result<void> operator()(const commands::SetGaugeLine& c);
    Result<void> operator()(const commands::ChoosePrinter& c);
    Result<void> operator()(const commands::SetScreen& c);
    Result<void> operator()(const commands::SetLimits& c);
    Result<void> operator()(const commands::ProposeTable& c);
    Result<void> operator()(const commands::AdoptProposal& c);
    Result<void> operator()(const commands::DropProposal& c);
    // decide_setting_up.cpp
    Result<void> operator()(const commands::RegisterGauge& c);
    Result<void> operator()(const commands::RegisterReference& c);
    Result<void> operator()(const commands::OpenOrder& c);
    // decide_application.cpp
    Result<void> operator()(const commands::OverrideApplication& c);
    Result<void> operator()(const commands::TestProof& c);
    // decide_shift.cpp
    Result<void> operator()(const commands::SignIn& c);
    Result<void> operator()(const commands::SignOut& c);
    Result<void> operator()(const commands::SignOutIdle& c);
    Result<void> operator()(const commands::StartShift& c);
    Result<void> operator()(const commands::EndShift& c);
    Result<void> operator()(const commands::ClockMoved& c);
    Result<void> operator()(const commands::AcceptClock& c);
    Result<void> operator()(const commands::TakeOrder& c);
    Result<void> operator()(const commands::ConfirmLots& c);
    Result<void> operator()(const commands::ConfirmDie& c);
    // decide_gauge.cpp
    Result<void> operator()(const commands::ProveGauge& c);
    Result<void> operator()(const commands::WithdrawGauge& c);
    Result<void> operator()(const commands::GaugeSaid& c);
    Result<void> operator()(const commands::GaugeGone& c);
    Result<void> operator()(const commands::GaugeReturned& c);
    // decide_work.cpp
    Result<void> operator()(const commands::Confirm& c);
    Result<void> operator()(const commands::VoidLast& c);
    Result<void> operator()(const commands::HoldAssembly& c);
    // decide_hold.cpp
    Result<void> operator()(const commands::PutInQuarantine& c);
    Result<void> operator()(const commands::SettleHold& c);
    Result<void> operator()(const commands::TakeUp& c);
    // decide_audit.cpp
    Result<void> operator()(const commands::FreezeLimits& c);
    Result<void> operator()(const commands::ReleaseLimits& c);
    Result<void> operator()(const commands::SetWatch& c);
    Result<void> operator()(const commands::SignOffShift& c);
    // decide_study.cpp
    Result<void> operator()(const commands::PlanStudy& c);
    Result<void> operator()(const commands::BeginStudy& c);
    Result<void> operator()(const commands::LeaveStudy& c);
    Result<void> operator()(const commands::VoidTurn& c);
    Result<void> operator()(const commands::DropStudy& c);
    Result<void> operator()(const commands::ApproveUncertainty& c);
    // decide_sample.cpp
    Result<void> operator()(const commands::DrawSample& c);
    Result<void> operator()(const commands::BeginSample& c);
    Result<void> operator()(const commands::LeaveSample& c);
    // decide_record.cpp
    Result<void> operator()(const commands::SendDelivery& c);
    Result<void> operator()(const commands::TakeBackDelivery& c);
    Result<void> operator()(const commands::DrawRecall& c);
    // decide_keys.cpp
    Result<void> operator()(const commands::HandOverKey& c);
    Result<void> operator()(const commands::RecordRecovery& c);
    Result<void> operator()(const commands::KnowWitness& c);
    Result<void> operator()(const commands::ForgetWitness& c);
    Result<void> operator()(const commands::BringCountersignature& c);
    // decide_link.cpp
    Result<void> operator()(const commands::MakeLink& c);
    Result<void> operator()(const commands::RevokeLink& c);
    // decide_return.cpp
    Result<void> operator()(const commands::OpenReturn& c);
    Result<void> operator()(const commands::AnswerReturn& c);
    Result<void> operator()(const commands::BeginReturn& c);
    Result<void> operator()(const commands::LeaveReturn& c);
    Result<void> operator()(const commands::ConcludeReturn& c);
    Result<void> operator()(const commands::ReopenReturn& c);
    // decide_certificate.cpp
    Result<void> operator()(const commands::IssueCertificate& c);
    // decide_tag.cpp
    Result<void> operator()(const commands::RecordTag& c);
    Result<void> operator()(const commands::SettleTagDoubt& c);

    // R10: the wall clock against the last entry; emits what it finds. False: the line stands.
    void watch_clock();

    std::vector<Decided> take() { return std::move(out_); }

  private:
    template <class Body>
    void emit(Body body) {
        emit_as(who_, std::move(body));
    }
    template <class Body>
    void emit_as(std::string who, Body body) {
        EntryBody entry = std::move(body);
        apply(s_, Facts{s_.last_seq + 1, now_.utc_ms, who}, entry);
        out_.push_back({std::move(entry), std::move(who)});
    }

    Result<void> must_be(Role role) const;  // that role; a lead may do what an operator may
    Result<void> lead_or_setter() const;
    // Somebody who is known and not retired; "bench.no_person" (person).
    Result<void> is_with_us(const std::string& person) const;
    // Without this person as they are now, there would be nobody left to set the station up.
    bool last_setter(const std::string& person) const;
    // The order can be made to the rows that are in force now: one hose, long enough, rated high enough.
    Result<void> order_fits(const entries::OrderOpened& order) const;
    // Nothing that the application check stops is unanswered: "bench.application_stops".
    Result<void> application_allows(const entries::OrderOpened& order) const;
    Result<void> may_begin(const NextStep& step) const;  // of a step that begins an assembly: its order still fits
    Result<void> may_work() const;                       // signed in at the bench, and the clock not in doubt
    NextStep step() const { return next_step(s_, rules_, now_); }

    void refuse_reading(const commands::GaugeSaid& c, const Reading& reading, Message why);
    void proof_reading(const commands::GaugeSaid& c, const Reading& reading);
    void gauge_failed(const std::string& gauge, Length error);
    void setup_reading(const commands::GaugeSaid& c, const Reading& reading, const NextStep& step);
    void work_reading(const commands::GaugeSaid& c, const Reading& reading, const NextStep& step);
    void study_reading(const commands::GaugeSaid& c, const Reading& reading, const NextStep& step);
    void sample_reading(const commands::GaugeSaid& c, const Reading& reading, const NextStep& step);
    void returned_reading(const commands::GaugeSaid& c, const Reading& reading, const NextStep& step);
    void judge_sample(const SampleState& sample);
    const StudyState* open_study(const std::string& id) const;  // null: not planned, or given up
    entries::ReadingTaken taken(const commands::GaugeSaid& c, const Reading& reading) const;

    void begin_assembly(const NextStep& step);
    // Judges the end after something new is known: goes on, closes the end, passes the assembly, or holds it.
    void after_step(const std::string& serial, End end);
    Result<void> hold_by_serial(const commands::HoldAssembly& c);
    void judge_and_write(const std::string& serial, End end, const EndJudgement& judgement);
    // Asks for a new set-up piece when the running set-up drifts (decide_drift.cpp).
    void watch_drift(const std::string& serial, End end);
    void hold(const std::string& serial, HoldCause cause, std::optional<End> end, bool recrimp_possible);
    // After a hold was settled without a re-crimp: what is complete is judged, what still fails goes back on hold.
    void go_on_after_settling(const std::string& serial);
    void pass_if_done(const std::string& serial);

    BenchState& s_;
    BenchRules rules_;
    std::string who_;
    const Now& now_;
    std::vector<Decided> out_;
};

}  // namespace crimpgate
