#include "reports/statistics/sampling_switching.h"

#include <rapidcheck.h>

#include <stdexcept>
#include <string_view>
#include <vector>

#include "tests/support/catch.h"

using namespace crimpgate::statistics;

namespace {

// a accepted, r rejected, b accepted back to normal, g reduced granted, n normal ordered, c resumed.
std::vector<SwitchingEvent> events(std::string_view text) {
    std::vector<SwitchingEvent> all;
    for (const char c : text)
        all.push_back(c == 'a'   ? SwitchingEvent::accepted
                      : c == 'r' ? SwitchingEvent::rejected
                      : c == 'b' ? SwitchingEvent::accepted_back_to_normal
                      : c == 'g' ? SwitchingEvent::reduced_granted
                      : c == 'n' ? SwitchingEvent::normal_ordered
                                 : SwitchingEvent::resumed);
    return all;
}
SwitchingState state(std::string_view text) {
    return *state_after(events(text));
}
std::string refusal(std::string_view text) {
    const auto result = state_after(events(text));
    return result ? "" : result.error().code;
}

}  // namespace

TEST_CASE("Two of five lots in a row rejected make inspection tightened") {
    CHECK(state("").severity == Severity::normal);
    CHECK(state("r").severity == Severity::normal);
    CHECK(state("rr").severity == Severity::tightened);
    CHECK(state("raaar").severity == Severity::tightened);
    CHECK(state("raaaar").severity == Severity::normal);  // six lots
    CHECK(state("raaaaraaar").severity == Severity::tightened);
}

TEST_CASE("Five lots in a row accepted on tightened inspection bring it back, and the past is forgotten") {
    CHECK(state("rraaaa").severity == Severity::tightened);
    CHECK(state("rraaaaa").severity == Severity::normal);
    CHECK(state("rraaaaraaaa").severity == Severity::tightened);
    CHECK(state("rraaaaar").severity == Severity::normal);
    CHECK(state("rraaaaarr").severity == Severity::tightened);
}

TEST_CASE("Five lots rejected on tightened inspection stop it until a person resumes it") {
    CHECK_FALSE(state("rrrrrr").stopped);
    CHECK(state("rrrrrrr").stopped);
    CHECK(state("rrrararaarr").stopped);  // added up, not in a row
    CHECK(refusal("rrrrrrra") == "sampling.stopped");
    CHECK(refusal("rrrrrrrr") == "sampling.stopped");
    const auto resumed = state("rrrrrrrc");
    CHECK_FALSE(resumed.stopped);
    CHECK(resumed.severity == Severity::tightened);
    CHECK(resumed.rejected_on_tightened == 0);
    CHECK(state("rrrrrrrcaaaaa").severity == Severity::normal);
    CHECK(refusal("c") == "sampling.not_stopped");
    CHECK(refusal("rrc") == "sampling.not_stopped");
}

TEST_CASE("Reduced inspection is granted by a person after ten lots in a row, and lost at once") {
    CHECK(refusal("aaaaaaaaag") == "sampling.reduced_too_early");
    CHECK(refusal("aaaaaraaaaaaaaag") == "sampling.reduced_too_early");
    CHECK(state("aaaaaaaaaa").severity == Severity::normal);  // nobody granted it
    CHECK(reduced_may_be_granted(state("aaaaaaaaaa")));
    CHECK(state("aaaaaaaaaag").severity == Severity::reduced);
    CHECK(state("aaaaaaaaaagaa").severity == Severity::reduced);
    CHECK(state("aaaaaaaaaagr").severity == Severity::normal);
    CHECK(state("aaaaaaaaaagb").severity == Severity::normal);
    CHECK(state("aaaaaaaaaagn").severity == Severity::normal);
    CHECK_FALSE(reduced_may_be_granted(state("aaaaaaaaaagb")));
    CHECK(refusal("n") == "sampling.not_reduced");
    CHECK(refusal("rrg") == "sampling.reduced_too_early");
    CHECK_THROWS_AS(state("b"), std::logic_error);
}

TEST_CASE("A verdict is an event of the same name") {
    CHECK(event_of(LotVerdict::accepted) == SwitchingEvent::accepted);
    CHECK(event_of(LotVerdict::rejected) == SwitchingEvent::rejected);
    CHECK(event_of(LotVerdict::accepted_back_to_normal) == SwitchingEvent::accepted_back_to_normal);
}

TEST_CASE("Whatever the lots, the rule of two in five is kept and a stop is on tightened") {
    CHECK(rc::check("switching", [] {
        const auto lots = *rc::gen::container<std::string>(rc::gen::elementOf(std::string("aaar")));
        SwitchingState now;
        std::string since_change;
        for (const char lot : lots) {
            if (now.stopped) break;
            const auto before = now.severity;
            now = *next_state(now, events(std::string_view(&lot, 1))[0]);
            since_change += lot;
            const auto recent = since_change.substr(since_change.size() > 5 ? since_change.size() - 5 : 0);
            const auto rejected = std::count(recent.begin(), recent.end(), 'r');
            if (before == Severity::normal) RC_ASSERT((now.severity == Severity::tightened) == (rejected >= 2));
            if (before == Severity::tightened) RC_ASSERT((now.severity == Severity::normal) == (recent == "aaaaa"));
            if (now.stopped) RC_ASSERT(now.severity == Severity::tightened);
            if (before != now.severity) since_change.clear();
        }
    }));
}
