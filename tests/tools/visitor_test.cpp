#include "tools/hand/visitor.h"

#include <boost/json.hpp>

#include "tests/support/catch.h"

using namespace crimpgate;
namespace json = boost::json;

namespace {

json::object asks(std::int64_t lower_um, std::int64_t upper_um, std::int64_t guard_um) {
    return {{"step", json::object{{"ask", "measure"},
                                  {"lower_nm", lower_um * 1000},
                                  {"upper_nm", upper_um * 1000},
                                  {"guard_nm", guard_um * 1000}}}};
}

}  // namespace

TEST_CASE("a visitor's press comes out as they asked: good, too small, too large, too close to call") {
    const auto bench = asks(25'300, 25'700, 20);
    CHECK(size_for(bench, "good") == Length::from_nm(25'500'000));
    CHECK(size_for(bench, "small") == Length::from_nm(25'200'000));
    CHECK(size_for(bench, "large") == Length::from_nm(25'800'000));
    CHECK(size_for(bench, "close") == Length::from_nm(25'700'000));
    CHECK(size_for(bench, "odd").error().code == "visitor.unknown_word");
}

TEST_CASE("a visitor presses the reference's own size for a proof") {
    const json::object bench{
        {"step", json::object{{"ask", "proof_reading"}, {"size_nm", 25'000'000}, {"limit_nm", 20'000}}}};
    CHECK(size_for(bench, "good") == Length::from_nm(25'000'000));
    CHECK(size_for(bench, "large") == Length::from_nm(25'120'000));
}

TEST_CASE("a visitor is told when there is nothing to measure, and when nothing lies between guard and limit") {
    CHECK(size_for({{"step", json::object{{"ask", "confirm"}}}}, "good").error().code == "visitor.nothing_to_measure");
    CHECK(size_for(asks(25'300, 25'700, 0), "close").error().code == "visitor.no_guard");
    // 25.705 mm is shown as 25.70 by a gauge of 0.01 mm: that lies inside a guard of 4 um.
    CHECK(size_for(asks(25'300, 25'705, 4), "close").error().code == "visitor.no_guard");
}
