// From a message to its words.
#include "tests/support/catch.h"

#include "station/words/catalogue.h"

using namespace crimpgate;

TEST_CASE("a message's details stand in the holes of its sentence") {
    const auto said = say(message("bench.wrong_die").with("scanned", "D-16").with("needed", "D-19"));
    CHECK(said == "This is die set D-16; the spec row needs die set D-19. Change it before anything is crimped.");
    // Text that looks like a hole is text.
    CHECK_THAT(say(message("bench.wrong_die").with("scanned", "{needed}").with("needed", "D-19")),
               cqt::contains("die set {needed};"));
    // A detail that is missing leaves a gap, not a hole.
    CHECK(say(message("bench.no_gauge")).find('{') == std::string::npos);
}

TEST_CASE("a code without a sentence says itself, so that nobody stands before an empty screen") {
    CHECK(say(Message{"no.such_code", {{"gauge", "CAL-1"}, {"line", "7"}}}) == "no.such_code gauge=CAL-1 line=7");
    CHECK(sentence("no.such_code").empty());
}
