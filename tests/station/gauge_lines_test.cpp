// Lines that are set while the station runs, and people who listen to them.
#include "station/daemon/gauge_lines.h"

#include <unistd.h>

#include <boost/asio/io_context.hpp>
#include <boost/json.hpp>
#include <chrono>
#include <filesystem>
#include <fstream>

#include "drivers/port_finder.h"
#include "drivers/pty.h"
#include "station/people/pins.h"
#include "tests/station/journal_kit.h"
#include "tests/station/test_clock.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::test;
namespace fs = std::filesystem;

namespace {

const std::string press_2158 = "+021.58mm\r\n";

Pty a_pty(std::string link = {}) {
    auto pty = Pty::open(std::move(link));
    REQUIRE(pty.has_value());
    return std::move(*pty);
}

struct Lines {
    Lines() {
        fs::create_directories(profiles);
        for (const auto* id : {"signed_decimal_unit", "padded_sign_line"})
            fs::copy_file(fs::path(CRIMPGATE_SOURCE_DIR) / "drivers/profiles" / (std::string(id) + ".toml"),
                          profiles / (std::string(id) + ".toml"));
        lines = std::make_unique<GaugeLines>(
            io, clock, ProfileFolder(profiles.string()),
            [this](const std::string& gauge, const GaugeEvent& event) {
                const auto* reading = std::get_if<Reading>(&event);
                said.push_back(gauge + " " +
                               (reading != nullptr ? reading->value.to_mm_text(2) : std::get<Refusal>(event).why.code));
            },
            [this](const std::string& gauge, const LineState& state) {
                states.push_back(gauge + " " + state.why.code);
            });
    }
    entries::GaugeLineSet wanted(const std::string& gauge, const std::string& port,
                                 const std::string& profile = "signed_decimal_unit") const {
        return {gauge, port, profile, lines->profiles().find(profile)->sha256};
    }
    void set(const entries::GaugeLineSet& line) {
        set_lines[line.gauge] = line;
        lines->follow(set_lines);
    }
    // Runs until it is so; false after a minute, which only something broken takes.
    bool until(const std::function<bool()>& so) {
        const auto end = std::chrono::steady_clock::now() + std::chrono::seconds(60);
        while (!so()) {
            if (std::chrono::steady_clock::now() > end) return false;
            io.restart();
            io.run_for(std::chrono::milliseconds(2));
        }
        return true;
    }
    bool until_connected(const std::string& gauge) {
        return until([&] { return lines->connected(gauge); });
    }
    LineInUse use(const std::string& gauge) const {
        for (const auto& line : lines->in_use())
            if (line.gauge == gauge) return line;
        return {};
    }

    journal_kit::Folder folder;
    fs::path profiles = folder / "profiles";
    boost::asio::io_context io{1};
    TestClock clock;
    std::unique_ptr<GaugeLines> lines;
    std::map<std::string, entries::GaugeLineSet> set_lines;
    std::vector<std::string> said, states;
};

// All that a listener has so far, as "event data".
std::vector<std::string> heard(const std::shared_ptr<LineListener>& listener) {
    std::vector<std::string> out;
    for (const auto& event : listener->read(1, 1000))
        out.push_back(event.event + " " + event.data);
    return out;
}

bool has(const std::vector<std::string>& events, const std::string& part) {
    for (const auto& event : events)
        if (event.find(part) != std::string::npos) return true;
    return false;
}

using Texts = std::vector<std::string>;

}  // namespace

TEST_CASE("A line that is set is opened at once, and nothing of the former one is heard any more") {
    Lines shop;
    Pty old_end = a_pty(), new_end = a_pty();
    REQUIRE(shop.lines->add({"CAL-1", old_end.device(), (shop.profiles / "signed_decimal_unit.toml").string()}));
    shop.lines->start();
    REQUIRE(shop.until_connected("CAL-1"));
    REQUIRE(old_end.write(press_2158));
    REQUIRE(shop.until([&] { return shop.said.size() == 1; }));
    CHECK_FALSE(shop.use("CAL-1").set_here);

    shop.set(shop.wanted("CAL-1", new_end.device(), "padded_sign_line"));
    CHECK_FALSE(old_end.in_use());
    REQUIRE(shop.until_connected("CAL-1"));
    CHECK(shop.states == Texts{"CAL-1 line.connected", "CAL-1 line.moved", "CAL-1 line.connected"});
    CHECK(shop.use("CAL-1").set_here);
    CHECK(shop.use("CAL-1").profile == "padded_sign_line");
    old_end.write(press_2158);
    REQUIRE(new_end.write("   21.60 mm\r"));
    REQUIRE(shop.until([&] { return shop.said.size() == 2; }));
    CHECK(shop.said == Texts{"CAL-1 21.58", "CAL-1 21.60"});

    // Told of the same lines again, nothing is opened anew.
    shop.lines->follow(shop.set_lines);
    CHECK(shop.lines->connected("CAL-1"));
}

TEST_CASE(
    "At a start the journal's line takes the configuration's place, and a gauge of the journal alone has one too") {
    Lines shop;
    Pty configured = a_pty(), chosen = a_pty(), other = a_pty();
    REQUIRE(shop.lines->add({"CAL-1", configured.device(), (shop.profiles / "signed_decimal_unit.toml").string()}));
    shop.set(shop.wanted("CAL-1", chosen.device()));
    shop.set(shop.wanted("CAL-2", other.device()));
    shop.lines->start();
    REQUIRE(shop.until_connected("CAL-1"));
    REQUIRE(shop.until_connected("CAL-2"));
    CHECK_FALSE(configured.in_use());
    CHECK(shop.states == Texts{"CAL-1 line.connected", "CAL-2 line.connected"});
}

TEST_CASE("R10: a profile that is gone, or not the file that was picked, leaves the gauge gone with the reason") {
    Lines shop;
    Pty end = a_pty();
    shop.lines->start();
    const auto picked = shop.wanted("CAL-1", end.device());
    SECTION("changed") {
        std::ofstream(shop.profiles / "signed_decimal_unit.toml", std::ios::app) << "# another word\n";
        shop.set(picked);
        REQUIRE(shop.states == Texts{"CAL-1 gauge.profile_changed"});
    }
    SECTION("gone") {
        fs::remove(shop.profiles / "signed_decimal_unit.toml");
        shop.set(picked);
        REQUIRE(shop.states == Texts{"CAL-1 gauge.no_profile"});
    }
    CHECK_FALSE(end.in_use());
    CHECK(shop.use("CAL-1").why.code == shop.states.front().substr(6));
    shop.set(shop.wanted("CAL-1", end.device(), "padded_sign_line"));
    CHECK(shop.until_connected("CAL-1"));
}

TEST_CASE("A port is one gauge's, by whichever of its names, and what is no port is not opened") {
    Lines shop;
    const std::string link = (shop.folder / "usb-caliper").string();
    Pty end = a_pty(link);
    shop.set(shop.wanted("CAL-1", link));
    CHECK(shop.lines->may_use("CAL-1", end.device()));
    CHECK(shop.lines->may_use("CAL-2", end.device()).error().code == "bench.port_taken");
    CHECK(shop.lines->may_use("CAL-2", "/dev/null").error().code == "port.not_a_port");
    CHECK(shop.lines->may_use("CAL-2", (shop.profiles / "padded_sign_line.toml").string()).error().code ==
          "port.not_a_port");
    CHECK(shop.lines->may_use("CAL-2", "COM3").error().code == "line.bad_address");
    CHECK(shop.lines->may_use("CAL-2", "/dev/serial/by-id/not-plugged-in"));
    CHECK(shop.lines->may_use("CAL-2", "tcp://192.0.2.10:4001"));
    CHECK(same_port(link, end.device()));
    CHECK(shop.lines->listen("/dev/null", "padded_sign_line", [] {}).error().code == "port.not_a_port");
    CHECK(shop.lines->listen(link, "../padded_sign_line", [] {}).error().code == "gauge.no_profile");
}

TEST_CASE("The folder of profiles tells each that can be used and why another cannot") {
    Lines shop;
    std::ofstream(shop.profiles / "torn.toml") << "id = \"torn\"\n";
    fs::copy_file(shop.profiles / "padded_sign_line.toml", shop.profiles / "renamed.toml");
    Texts told;
    for (const auto& listed : shop.lines->profiles().all())
        told.push_back(listed.file + " " + (listed.known ? listed.known->profile.id : listed.known.error().code));
    CHECK(told.size() == 4);
    CHECK(told[0] == "padded_sign_line.toml padded_sign_line");
    CHECK(told[1] == "renamed.toml profile.id_is_not_file_name");
    CHECK(told[3].rfind("torn.toml profile.", 0) == 0);
}

TEST_CASE("Listening opens a free port for as long as somebody listens, and tells bytes, frames, readings, refusals") {
    Lines shop;
    Pty end = a_pty();
    shop.lines->start();
    int woken = 0;
    auto listener = shop.lines->listen(end.device(), "signed_decimal_unit", [&] { ++woken; });
    REQUIRE(listener.has_value());
    REQUIRE(shop.until([&] { return has(heard(*listener), "line.connected"); }));
    CHECK(end.in_use());
    REQUIRE(end.write("+0215"));
    REQUIRE(end.write("8mm\r\n" + press_2158));
    REQUIRE(shop.until([&] { return has(heard(*listener), "reading "); }));
    const auto all = heard(*listener);
    CHECK(all.front().find("state {\"connected\":true") == 0);
    CHECK(has(all, "frame {\"hex\":\"2b3032312e35386d6d0d0a\""));
    CHECK(has(all, "reading {\"resolution_nm\":10000,\"unit\":\"mm\",\"utc_ms\":"));
    CHECK(has(all, "\"value_nm\":21580000"));
    CHECK(has(all, "refused {\"hex\":\"2b303231"));  // the mark was missing in the first
    CHECK(woken > 0);
    CHECK(shop.said.empty());  // nobody's gauge
    listener->reset();
    CHECK(shop.until([&] { return !end.in_use(); }));
}

TEST_CASE("Of a gauge in use one listens along, with whichever profile, and the gauge notices nothing") {
    Lines shop;
    Pty end = a_pty();
    shop.set(shop.wanted("CAL-1", end.device()));
    shop.lines->start();
    REQUIRE(shop.until_connected("CAL-1"));
    auto right = shop.lines->listen(end.device(), "signed_decimal_unit", [] {});
    auto wrong = shop.lines->listen(end.device(), "padded_sign_line", [] {});
    REQUIRE(right.has_value());
    REQUIRE(wrong.has_value());
    CHECK_FALSE((*right)->has_line());
    CHECK(has(heard(*right), "line.connected"));
    REQUIRE(end.write(press_2158));
    REQUIRE(shop.until([&] { return shop.said.size() == 1 && has(heard(*right), "reading "); }));
    CHECK(shop.said == Texts{"CAL-1 21.58"});
    CHECK(has(heard(*wrong), "bytes {\"hex\":\"2b3032312e35386d6d0d0a\""));
    CHECK_FALSE(has(heard(*wrong), "reading "));
    right->reset();
    wrong->reset();
    CHECK(shop.lines->connected("CAL-1"));
}

TEST_CASE("A port that somebody listens to becomes a gauge's line without a pause, and is given back when it moves") {
    Lines shop;
    Pty end = a_pty(), elsewhere = a_pty();
    shop.lines->start();
    auto listener = shop.lines->listen(end.device(), "signed_decimal_unit", [] {});
    REQUIRE(listener.has_value());
    REQUIRE(shop.until([&] { return has(heard(*listener), "line.connected"); }));
    shop.set(shop.wanted("CAL-1", end.device()));
    CHECK_FALSE((*listener)->has_line());
    REQUIRE(shop.until_connected("CAL-1"));
    CHECK(shop.states == Texts{"CAL-1 line.connected"});  // never "in use by somebody else"
    REQUIRE(end.write(press_2158));
    REQUIRE(shop.until([&] { return shop.said.size() == 1 && has(heard(*listener), "reading "); }));

    shop.set(shop.wanted("CAL-1", elsewhere.device()));
    CHECK((*listener)->has_line());
    REQUIRE(shop.until_connected("CAL-1"));
    REQUIRE(shop.until([&] { return end.in_use(); }));
    shop.clock.pass_ms(1000);
    REQUIRE(end.write("+021.60mm\r\n"));
    REQUIRE(shop.until([&] { return has(heard(*listener), "\"value_nm\":21600000"); }));
    CHECK(shop.said == Texts{"CAL-1 21.58"});
}

TEST_CASE("A gauge that is asked is asked while somebody listens to its line") {
    Lines shop;
    fs::copy_file(fs::path(CRIMPGATE_SOURCE_DIR) / "drivers/profiles/request_answer.toml",
                  shop.profiles / "request_answer.toml");
    const auto request = std::string(shop.lines->profiles().find("request_answer")->profile.request());
    REQUIRE_FALSE(request.empty());
    Pty end = a_pty();
    shop.lines->start();
    auto listener = shop.lines->listen(end.device(), "request_answer", [] {});
    REQUIRE(listener.has_value());
    std::string got;
    REQUIRE(shop.until([&] {
        shop.clock.pass_ms(20);
        char piece[64];
        const auto n = end.in_use() ? ::read(end.master(), piece, sizeof piece) : 0;
        if (n > 0) got.append(piece, static_cast<std::size_t>(n));
        return got.size() >= 2 * request.size();
    }));
    CHECK(got.substr(0, 2 * request.size()) == request + request);
}

TEST_CASE("A listener who does not read holds a bounded ring and is told how much was missed") {
    TestClock clock;
    const auto profile = ProfileFolder().find("signed_decimal_unit");
    REQUIRE(profile.has_value());
    LineListener listener(*GaugeAddress::parse("tcp://192.0.2.1:4001"), profile->profile, [] {});
    for (int i = 0; i < 1000; ++i) {
        clock.pass_ms(500);
        listener.bytes(press_2158, clock.now());  // bytes, frame, reading
    }
    const auto first = listener.read(1, 10);
    REQUIRE(first.size() == 10);
    CHECK(first.front().event == "missed");
    CHECK(first.front().data == "{\"events\":2600}");
    CHECK(first.front().id + 1 == first[1].id);
    const auto rest = listener.read(first.back().id + 1, 10'000);
    CHECK(rest.size() == LineListener::ring_size - 9);
    CHECK(rest.back().id == 3000);
    CHECK(listener.read(3001, 10).empty());
}

TEST_CASE("A few may listen at a time and no more; one who lets go makes room") {
    Lines shop;
    std::vector<std::shared_ptr<LineListener>> held;
    for (std::size_t i = 0; i < GaugeLines::most_listeners; ++i)
        held.push_back(*shop.lines->listen("tcp://127.0.0.1:9", "padded_sign_line", [] {}));
    CHECK(shop.lines->listen("tcp://127.0.0.1:9", "padded_sign_line", [] {}).error().code == "line.too_many_listen");
    held.pop_back();
    CHECK(shop.lines->listen("tcp://127.0.0.1:9", "padded_sign_line", [] {}).has_value());
}
