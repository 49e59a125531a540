#include "station/entries/entry_json.h"

#include "station/entries/describe_entries.h"
#include "station/json/canonical.h"
#include "station/json/reflect.h"
#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

// Fills every member of a described struct with values that differ from each other, optional ones included, so that two
// members that were swapped or left out show.
class Filler {
  public:
    template <class T>
    void fill(T& value) {
        ++next_;
        if constexpr (std::is_same_v<T, std::string>) {
            value = "text " + std::to_string(next_) + " Ø\n\"";
        } else if constexpr (std::is_same_v<T, bool>) {
            value = next_ % 2 == 0;
        } else if constexpr (std::is_same_v<T, std::int64_t>) {
            value = next_ * 1'000'003;
        } else if constexpr (std::is_same_v<T, Length>) {
            value = Length::from_nm(-next_ * 25'400'001);
        } else if constexpr (std::is_same_v<T, Pressure>) {
            value = Pressure::from_kpa(next_ * 27'501);
        } else if constexpr (std::is_enum_v<T>) {
            std::vector<T> all;
            boost::mp11::mp_for_each<boost::describe::describe_enumerators<T>>([&](auto d) { all.push_back(d.value); });
            value = all[static_cast<std::size_t>(next_) % all.size()];
        } else if constexpr (reflect::is_optional<T>::value) {
            fill(value.emplace());
        } else if constexpr (reflect::is_vector<T>::value) {
            for (int i = 0; i < 2; ++i) {
                typename T::value_type element{};
                fill(element);
                value.push_back(std::move(element));
            }
        } else if constexpr (std::is_same_v<T, Message>) {
            value = message("driver.noise").with("count", std::to_string(next_));
        } else {
            boost::mp11::mp_for_each<boost::describe::describe_members<T, boost::describe::mod_public>>(
                [&](auto d) { fill(value.*d.pointer); });
        }
    }

  private:
    std::int64_t next_ = 0;
};

template <class F>
void for_each_type(F&& f) {
    boost::mp11::mp_for_each<boost::mp11::mp_transform<std::type_identity, EntryTypes>>(
        [&](auto identity) { f(typename decltype(identity)::type{}); });
}

}  // namespace

TEST_CASE("An entry of every type comes back from its JSON as it was, filled or bare") {
    std::size_t types = 0;
    for_each_type([&](auto body) {
        using Body = decltype(body);
        INFO(Body::type);
        for (const bool filled : {false, true}) {
            if (filled) Filler().fill(body);
            const auto written = to_json(EntryBody(body));
            const auto read = entry_body(Body::type, parse_strict_object(canonical(written)).value());
            REQUIRE(read);
            REQUIRE(std::holds_alternative<Body>(*read));
            CHECK(canonical(to_json(*read)) == canonical(written));
            CHECK(type_of(*read) == Body::type);
        }
        ++types;
    });
    CHECK(types == std::variant_size_v<EntryTypes>);
}

TEST_CASE("No two entry types have the same name") {
    std::vector<std::string_view> names;
    for_each_type([&](auto body) { names.push_back(decltype(body)::type); });
    std::sort(names.begin(), names.end());
    CHECK(std::adjacent_find(names.begin(), names.end()) == names.end());
}

TEST_CASE("A member that is missing, misspelt or of another kind is refused by its name") {
    entries::GaugeProved body;
    Filler().fill(body);
    const auto good = to_json(EntryBody(body));
    const auto code = [](const boost::json::object& changed) {
        const auto read = entry_body("gauge.proved", changed);
        REQUIRE_FALSE(read);
        return read.error().code + " " + std::string(read.error().detail("member"));
    };
    auto without = good;
    without.erase("error_nm");
    CHECK(code(without) == "json.missing error_nm");
    auto misspelt = good;
    misspelt["eror_nm"] = 1;
    CHECK(code(misspelt) == "json.unknown eror_nm");
    auto text = good;
    text["error_nm"] = "12";
    CHECK(code(text) == "json.wrong_kind error_nm");
    auto fraction = good;
    fraction["error_nm"] = 12.5;
    CHECK(code(fraction) == "json.wrong_kind error_nm");
    CHECK(entry_body("gauge.improved", good).error().code == "entry.unknown_type");
}

TEST_CASE("R6: a spec row comes back from the record with all its numbers") {
    SpecRow row;
    Filler().fill(row);
    const auto read = spec_row(to_json(row));
    REQUIRE(read);
    CHECK(*read == row);
    CHECK(to_json(row).at("crimp").at("nominal_nm").is_int64());
}
