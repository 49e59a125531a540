#include "tools/year/year.h"

#include <algorithm>
#include <chrono>

#include <fmt/format.h>

#include "tools/year/bench_hand.h"

namespace crimpgate::year {

using namespace commands;

namespace {

constexpr std::int64_t hour_ms = 3'600'000;

std::int64_t utc_ms_of(Date date, double hours) {
    const std::chrono::sys_days at{date};
    return std::chrono::sys_time<std::chrono::milliseconds>{at}.time_since_epoch().count() +
           static_cast<std::int64_t>(hours * hour_ms);
}

// Two years back is young enough for any hose (specs/dates.h).
std::string made_before(Date date) {
    return HoseQuarter::of(Date{std::chrono::sys_days{date} - std::chrono::days{140}}).text();
}

class Year {
  public:
    Year(Journal& journal, const YearChoice& choice)
        : choice_(choice), dice_(choice.seed), hand_(journal, rules(), 0, dice_, made_) {
        made_.days = work_days(choice);
        made_.story = story_of(choice, made_.days);
        made_.story.caliper = calipers[0];
        made_.story.die_set = spec_row(0).die_set;
    }

    YearMade make(const std::function<void(std::size_t)>& each_day) {
        set_up();
        const auto days = static_cast<std::int64_t>(made_.days.size());
        for (std::int64_t day = 0; day < days; ++day) {
            // Spread evenly, the odd ones too.
            const std::int64_t until = choice_.assemblies * (day + 1) / days;
            day_ = static_cast<std::size_t>(day);
            begin_day();
            work_shift(0, (until - made_.assemblies) / 2);
            work_shift(1, until - made_.assemblies);
            if (each_day) each_day(day_ + 1);
        }
        made_.entries = hand_.state().last_seq;
        return std::move(made_);
    }

  private:
    static BenchRules rules() {
        BenchRules r;
        r.station = "bench-1";
        return r;
    }
    Recorder& clock() { return hand_.recorder(); }
    const BenchState& state() const { return hand_.state(); }
    Date today() const { return made_.days[day_]; }
    bool last_day() const { return day_ + 1 == made_.days.size(); }

    void start_station() {
        const entries::StationStarted started{"generated", std::string(), "Europe/Oslo"};
        if (auto written = clock().note(started); !written) throw Stopped(std::move(written.error()));
        if (!state().gauges.empty()) hand_.plug_in_all();
    }

    void set_up() {
        clock().pass_until(utc_ms_of(made_.days.front(), 4.1));
        start_station();
        for (const auto& p : people())  // "*" is no hash, so no PIN opens it
            hand_.run(AddPerson{p.id, p.name, p.role, "*"}, state().people.empty() ? std::string() : setter);
        const std::chrono::sys_days first{made_.days.front()};
        const std::string calibrated = to_text(Date{first - std::chrono::days{20}});
        const std::string due = to_text(Date{first + std::chrono::days{400}});
        for (std::size_t i = 0; i < calipers.size(); ++i)
            hand_.run(RegisterGauge{caliper(i, calibrated, due)}, setter);
        hand_.plug_in_all();
        hand_.run(RegisterReference{{ring, "setting ring", 25'000_um, "KZ-1990", due}}, setter);
        std::vector<SpecRow> rows;
        for (std::size_t i = 0; i < spec_count; ++i)
            rows.push_back(spec_row(i));
        hand_.run(ProposeTable{"tannwerk.csv", std::string(), rows, {}, false}, setter);
        hand_.run(AdoptProposal{state().last_seq}, leads[0]);
        for (std::size_t i = 0; i < spec_count; ++i) {
            hose_until_[i] = static_cast<std::size_t>(dice_.between(8, 22));
            fitting_until_[i] = static_cast<std::size_t>(dice_.between(25, 50));
        }
    }

    void begin_day() {
        const bool monday = std::chrono::weekday{std::chrono::sys_days{today()}} == std::chrono::Monday;
        clock().pass_until(utc_ms_of(today(), 4.4));
        if (monday && day_ > 0) start_station();
        // New lots come in by the day; each spec row has its own hose.
        for (std::size_t i = 0; i < spec_count; ++i) {
            const bool bad = made_.story.planted && i == 1 && day_ == made_.story.lot_wanted;
            if (day_ >= hose_until_[i] || bad) {
                ++hose_lot_[i];
                if (bad) made_.story.bad_lot = hose_lot(i);
                hose_until_[i] = day_ + static_cast<std::size_t>(dice_.between(14, 26));
            }
            if (day_ >= fitting_until_[i]) {
                ++fitting_lot_[i];
                fitting_until_[i] = day_ + static_cast<std::size_t>(dice_.between(35, 60));
            }
        }
        auto& story = made_.story;
        const bool low = story.planted && day_ >= story.caliper_from && day_ <= story.caliper_to;
        hand_.low[story.caliper] = low ? Story::caliper_um : 0;
        if (watch_off_) {
            hand_.run(SetWatch{}, leads[1]);
            watch_off_ = false;
        }
    }

    std::string hose_lot(std::size_t spec) const { return fmt::format("H{}{:02}", spec + 1, hose_lot_[spec] + 1); }
    std::string fitting_lot(std::size_t spec) const {
        return fmt::format("F{}{:02}", spec + 1, fitting_lot_[spec] + 1);
    }

    void work_shift(std::size_t which, std::int64_t quota) {
        auto& story = made_.story;
        begin_ms_ = utc_ms_of(today(), which == 0 ? 5 : 13);
        end_ms_ = utc_ms_of(today(), which == 0 ? 12.6 : 20.6);
        clock().pass_until(begin_ms_);
        hand_.person = operators[(day_ / 5 + which) % operators.size()];
        hand_.run(SignIn{}, hand_.person);
        hand_.run(StartShift{}, hand_.person);
        ++made_.shifts;
        hand_.prove_all();
        const bool bumped = story.planted && day_ == story.bump_day && which == 1;
        if (bumped) {
            story.bump_shift = state().shift;
            entries::WatchSet off;
            off.on = false;
            hand_.run(SetWatch{off}, leads[0]);
            watch_off_ = true;
            order_.clear();  // one long order for the whole afternoon
            open_order(static_cast<std::size_t>(dice_.between(0, spec_count - 1)), quota);
        }
        for (std::int64_t left = quota; left > 0; --left) {
            if (bumped && left == quota / 2) {
                hand_.affairs.bump = Story::bump_um;
                story.bump_from_ms = clock().now().utc_ms;
            }
            one_assembly(left);
        }
        close_shift(which);
        if (bumped) story.bump_to_ms = clock().now().utc_ms;
        hand_.affairs.bump = 0;
    }

    void close_shift(std::size_t which) {
        // On the last evening what is on hold stays for the lead to look at.
        if (!(last_day() && which == 1)) settle_all();
        finish_in_work();
        hand_.prove_all();
        const std::string shift = state().shift;
        hand_.run(EndShift{}, hand_.person);
        clock().pass(30);
        hand_.run(SignOut{}, hand_.person);
        clock().pass(200);
        // One in twenty is not signed off, and the last ones not yet.
        if (!dice_.chance(0.05) && !last_day())
            hand_.run(SignOffShift{shift, dice_.chance(0.1) ? "gone through with the operator" : ""}, leads[which]);
    }

    void open_order(std::size_t spec, std::int64_t quantity) {
        const auto& customer = customers()[static_cast<std::size_t>(dice_.between(0, 4))];
        entries::OrderOpened order;
        order.order = fmt::format("W-{:05}", ++orders_);
        order.customer = customer.name;
        order.customer_part = customer.part;
        order.quantity = quantity;
        order.spec_a = order.spec_b = spec_row(spec).spec_id;
        order.overall_length = Length::from_um(100'000 * dice_.between(5, 30));
        order.length_rule = "over all";
        order.hose_lots = {{hose_lot(spec), made_before(today())}};
        order.fitting_a_lots = order.fitting_b_lots = {{fitting_lot(spec), ""}};
        hand_.run(OpenOrder{order}, setter);
        order_ = order.order;
        spec_ = spec;
        lots_ = ConfirmLots{order.hose_lots[0].lot, order.fitting_a_lots[0].lot, order.fitting_b_lots[0].lot};
    }

    void take_order() {
        const std::int64_t shift = std::max<std::int64_t>(choice_.per_day / 2, 6);
        while (order_.empty() || state().orders.at(order_).complete())
            open_order(static_cast<std::size_t>(dice_.between(0, spec_count - 1)),
                       std::max<std::int64_t>(4, dice_.between(shift * 3 / 10, shift * 9 / 10)));
        if (state().order != order_) {
            clock().pass(40);
            hand_.run(TakeOrder{order_}, hand_.person);
        }
        if (!state().lots) {
            clock().pass(30);
            hand_.run(lots_, hand_.person);
        }
        look_at_affairs();
    }

    void look_at_affairs() {
        auto& story = made_.story;
        auto& affairs = hand_.affairs;
        affairs.wear = 0;
        affairs.bad_lot = false;
        if (!story.planted) return;
        const double days = static_cast<double>(made_.days.size() - story.wear_from);
        if (spec_ == 0 && day_ >= story.wear_from)
            affairs.wear = static_cast<double>(Story::wear_um) * static_cast<double>(day_ - story.wear_from + 1) / days;
        if (lots_.hose_lot != story.bad_lot) return;
        affairs.bad_lot = true;
        affairs.lot = Story::lot_um;
        if (story.lot_from_ms == 0) story.lot_from_ms = clock().now().utc_ms;
        story.lot_to_ms = clock().now().utc_ms;
    }

    void one_assembly(std::int64_t left) {
        settle_due();
        finish_in_work();
        take_order();
        // Everything started is passed or on hold: a lead's word decides whether another is needed.
        while (!state().orders.at(order_).may_start_another()) {
            settle_all();
            finish_in_work();
            take_order();
        }
        hand_.next_part();
        const std::int64_t before = state().serial_counter;
        while (state().serial_counter == before)
            hand_.step();
        ++made_.assemblies;
        finish_in_work();
        // At the shift's pace.
        const double room = static_cast<double>(end_ms_ - clock().now().utc_ms) / 1000 / static_cast<double>(left);
        clock().pass(std::max(15.0, (room - 190) * (0.7 + 0.6 * dice_.uniform())));
    }

    void finish_in_work() {
        while (!state().current.empty() || !state().stopped.empty())
            hand_.step();
    }

    void settle_all() {
        while (!hand_.waiting.empty()) {
            clock().pass_until(hand_.waiting.front().at_ms);
            settle_due();
            finish_in_work();
        }
    }

    void settle_due() {
        for (bool again = true; again;) {
            again = false;
            for (std::size_t i = 0; i < hand_.waiting.size(); ++i) {
                if (hand_.waiting[i].at_ms > clock().now().utc_ms) continue;
                const std::string serial = hand_.waiting[i].serial;
                hand_.waiting.erase(hand_.waiting.begin() + static_cast<std::ptrdiff_t>(i));
                if (state().assemblies.at(serial).stage == Stage::on_hold) settle(serial);
                again = true;
                break;
            }
        }
    }

    void settle(const std::string& serial) {
        const auto& a = state().assemblies.at(serial);
        const std::string& lead = leads[static_cast<std::size_t>(dice_.between(0, 1))];
        const bool by_depth = a.hold->end && !a.at(*a.hold->end).crimped;
        const bool by_length = a.hold->cause != HoldCause::failed;
        if (a.hold->recrimp_possible) {
            hand_.run(SettleHold{serial, Settlement::recrimp, "dies cleaned, crimped again", {}}, lead);
        } else if (by_length || (by_depth && dice_.chance(0.7))) {
            const End end = a.hold->end.value_or(End::a);
            const std::string reason = by_depth ? "marked anew from the hose's end" : "measured again";
            hand_.run(SettleHold{serial, Settlement::remeasure, reason, {}}, lead);
            hand_.mark_anew(serial, end);
        } else if (dice_.chance(0.15)) {
            const std::string reference = fmt::format("C-{}", state().last_seq);
            hand_.run(SettleHold{serial, Settlement::concession, "the customer takes it as it is", reference}, lead);
        } else {
            hand_.run(SettleHold{serial, Settlement::scrap, "cut off, not to be used", {}}, lead);
        }
        if (state().assemblies.at(serial).stage != Stage::to_be_taken_up) return;
        finish_in_work();
        clock().pass(60);
        hand_.run(TakeUp{serial}, hand_.person);
        finish_in_work();
    }

    const YearChoice choice_;
    YearMade made_;
    Dice dice_;
    BenchHand hand_;
    std::size_t day_ = 0;
    std::int64_t begin_ms_ = 0, end_ms_ = 0;
    std::int64_t orders_ = 0;
    std::string order_;
    std::size_t spec_ = 0;
    ConfirmLots lots_;
    bool watch_off_ = false;
    std::size_t hose_until_[spec_count] = {}, fitting_until_[spec_count] = {};
    int hose_lot_[spec_count] = {}, fitting_lot_[spec_count] = {};
};

}  // namespace

Result<YearMade> make_year(Journal& journal, const YearChoice& choice,
                           const std::function<void(std::size_t)>& each_day) {
    try {
        return Year(journal, choice).make(each_day);
    } catch (const Stopped& stopped) {
        return refuse(stopped.why);
    }
}

}  // namespace crimpgate::year
