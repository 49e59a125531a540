// The configuration: a closed set of keys, every error at once, each with its line.
#include "tests/support/catch.h"

#include <algorithm>
#include <fstream>
#include <iterator>

#include "station/daemon/config.h"
#include "station/words/catalogue.h"

using namespace crimpgate;

namespace {

const std::string good =
    "[station]\n"
    "id = \"bench-1\"\n"
    "shop = \"Corvane Hose Works\"\n"
    "time_zone = \"Europe/Berlin\"\n"
    "serial_prefix = \"K1\"\n"
    "[journal]\n"
    "file = \"bench.journal\"\n"
    "[tag]\n"
    "folder = \"tags\"\n";

std::vector<ConfigError> errors_of(const std::string& text) {
    const auto config = parse_config(text);
    return config ? std::vector<ConfigError>{} : config.error();
}

// The one error of `text`, as "line key code".
std::string only_error(const std::string& text) {
    const auto errors = errors_of(text);
    if (errors.size() != 1) return std::to_string(errors.size()) + " errors";
    return std::to_string(errors[0].line) + " " + errors[0].key + " " + errors[0].why.code;
}

std::string with(std::string from, std::string to) {
    std::string text = good;
    return text.replace(text.find(from), from.size(), to);
}

}  // namespace

TEST_CASE("what must be there is enough, and the rest has safe defaults") {
    const auto config = parse_config(good);
    REQUIRE(config.has_value());
    CHECK(config->station.shop == "Corvane Hose Works");
    CHECK(config->http.address == "127.0.0.1");
    CHECK_FALSE(config->http.allow_other_addresses);
    CHECK_FALSE(config->bench.own_hold_may_be_settled);
    CHECK(config->bench.prove_after_reconnect);
    CHECK(config->tag.size == "100x150");
    CHECK(config->gauges.empty());
    CHECK(bench_rules(*config).proof_interval_ms == 4LL * 3600 * 1000);
    CHECK(bench_rules(*config).station == "bench-1");
    CHECK(bench_rules(*config).sign_out_after_ms == 15LL * 60 * 1000);
    CHECK(bench_rules(*parse_config(good + "[bench]\nsign_out_after_min = 0\n")).sign_out_after_ms == 0);
}

TEST_CASE("the example file is a configuration, and so it is with every default written out") {
    std::ifstream in(std::string(CRIMPGATE_SOURCE_DIR) + "/station/crimpgated.example.toml");
    const std::string text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
    const auto config = parse_config(text);
    REQUIRE(config.has_value());
    CHECK(config->gauges.size() == 1);
    std::string all = text;
    std::size_t uncommented = 0;
    for (auto at = all.find("\n# "); at != std::string::npos; at = all.find("\n# ", at + 1)) {
        const auto line = all.substr(at + 3, all.find('\n', at + 1) - at - 3);
        if (line.find(" = ") == std::string::npos) continue;
        all.erase(at + 1, 2);
        ++uncommented;
    }
    CHECK(uncommented == 24);
    const auto written = parse_config(all);
    REQUIRE(written.has_value());
    CHECK(*written == *config);
}

TEST_CASE("an unknown key is an error with its line, wherever it stands") {
    CHECK(only_error(good + "foldr = \"x\"\n") == "10 tag.foldr config.unknown_key");
    CHECK(only_error("bench_name = 1\n" + good) == "1 bench_name config.unknown_key");
    CHECK(only_error(good + "[bench]\nproof_interval = 5\n") == "11 bench.proof_interval config.unknown_key");
    CHECK(only_error(good + "[printer]\nname = \"x\"\n") == "10 printer config.unknown_key");
    CHECK(only_error(good + "[[gauge]]\nid = \"c\"\nport = \"/dev/ttyACM0\"\nprofile = \"p.toml\"\nbaud = 9600\n") ==
          "14 gauge[1].baud config.unknown_key");
}

TEST_CASE("every error of a file is told at once, in the order of its lines") {
    const auto errors = errors_of(
        "[station]\n"
        "id = 7\n"
        "time_zone = \"Europe/Nowhere\"\n"
        "serial_prefix = \"IL\"\n"
        "colour = \"red\"\n"
        "[bench]\n"
        "proof_interval_min = 0\n"
        "repeats_allowed = \"1\"\n"
        "prove_after_reconnect = 1\n"
        "[http]\n"
        "address = \"0.0.0.0\"\n"
        "port = 65536\n"
        "[tag]\n"
        "size = \"a4\"\n"
        "dpi = 203.5\n"
        "[[gauge]]\n"
        "id = \"c\"\n"
        "port = \"COM3\"\n"
        "profile = \"\"\n");
    std::vector<std::string> keys;
    for (const auto& error : errors) {
        keys.push_back(error.key);
        INFO(say(error.why));
        CHECK(say(error.why).find(error.key) != std::string::npos);
        CHECK(error.why.detail("line") == std::to_string(error.line));
    }
    CHECK(std::is_sorted(errors.begin(), errors.end(), [](auto& a, auto& b) { return a.line < b.line; }));
    for (const char* key :
         {"station.id", "station.shop", "station.time_zone", "station.serial_prefix", "station.colour", "journal.file",
          "bench.proof_interval_min", "bench.repeats_allowed", "bench.prove_after_reconnect", "http.address",
          "http.port", "tag.folder", "tag.size", "tag.dpi", "gauge[1].port", "gauge[1].profile"}) {
        INFO(key);
        CHECK(std::count(keys.begin(), keys.end(), key) == 1);
    }
    CHECK(keys.size() == 16);
}

TEST_CASE("the station listens beyond its own machine only where the configuration says that this is meant") {
    CHECK(only_error(good + "[http]\naddress = \"0.0.0.0\"\n") == "11 http.address config.other_address");
    CHECK(only_error(good + "[http]\naddress = \"192.0.2.7\"\n") == "11 http.address config.other_address");
    CHECK(parse_config(good + "[http]\naddress = \"::1\"\n").has_value());
    // With TLS nobody reads along: no further word is needed. Half of it is no TLS.
    const std::string outside = good + "[http]\naddress = \"192.0.2.7\"\n";
    const auto tls = parse_config(outside + "certificate = \"c.pem\"\nkey = \"k.pem\"\nnames = [\"bench-1.shop\"]\n");
    REQUIRE(tls.has_value());
    CHECK(tls->http.certificate == "c.pem");
    CHECK(tls->http.key == "k.pem");
    CHECK(tls->http.names == std::vector<std::string>{"bench-1.shop"});
    CHECK(only_error(good + "[http]\ncertificate = \"c.pem\"\n") == "11 http.certificate config.half_tls");
    CHECK(only_error(good + "[http]\nkey = \"k.pem\"\n") == "11 http.key config.half_tls");
    CHECK(errors_of(outside + "key = \"k.pem\"\n").size() == 2);
    CHECK(only_error(good + "[http]\nnames = \"bench-1\"\n") == "11 http.names config.bad_value");
    CHECK(only_error(good + "[http]\nnames = [7]\n") == "11 http.names config.bad_value");
    CHECK(parse_config(good + "[http]\naddress = \"192.0.2.7\"\nallow_other_addresses = true\n").has_value());
}

TEST_CASE("the key that signs the record has a name that a signed note can bear") {
    CHECK(parse_config(good + "[record]\nname = \"corvane.example/bench-1\"\n").has_value());
    for (const char* bad : {"two words", "a+b"}) {
        const auto refused = parse_config(good + "[record]\nname = \"" + bad + "\"\n");
        REQUIRE_FALSE(refused.has_value());
        CHECK(refused.error().at(0).key == "record.name");
    }
    CHECK(parse_config(good + "[record]\nlink = \"https://shop.example:8443/hoses\"\n").has_value());
    for (const char* bad : {"http://shop.example", "https://", "shop.example", "https://shop.example/?a=b",
                            "https://shöp.example", "https://shop.example/a b"}) {
        const auto refused = parse_config(good + "[record]\nlink = \"" + bad + "\"\n");
        REQUIRE_FALSE(refused.has_value());
        CHECK(refused.error().at(0).key == "record.link");
    }
    // The station's id stands in for a name that is not given, and may hold what a name may not.
    const auto refused = parse_config(with("bench-1", "bench 1"));
    REQUIRE_FALSE(refused.has_value());
    CHECK(refused.error().at(0).key == "record.name");
    CHECK(parse_config(with("bench-1", "bench 1") + "[record]\nname = \"bench-1\"\n").has_value());
}

TEST_CASE("two gauges have two ids and two ports") {
    const std::string one = "[[gauge]]\nid = \"c\"\nport = \"/dev/ttyACM0\"\nprofile = \"p.toml\"\n";
    CHECK(errors_of(good + one + one).size() == 2);
    CHECK(parse_config(good + one + "[[gauge]]\nid = \"d\"\nport = \"tcp://192.0.2.7:4001\"\nprofile = \"p.toml\"\n")
              .has_value());
}

TEST_CASE("what is no TOML is told with its line, and a file that is not there by its name") {
    CHECK(only_error("[station]\nid = \n") == "2  config.malformed");
    const auto missing = load_config("/nonexistent/crimpgated.toml");
    REQUIRE_FALSE(missing.has_value());
    CHECK(missing.error().at(0).why.code == "config.unreadable");
    CHECK_THAT(say(missing.error().at(0).why), cqt::contains("/nonexistent/crimpgated.toml"));
}

TEST_CASE("the text that stands for the configuration in force changes with every value and with no comment") {
    const auto base = parse_config(good);
    REQUIRE(base.has_value());
    const std::string text = canonical_text(*base);
    CHECK(canonical_text(*parse_config("# a comment\n" + good + "dpi = 203\n")) == text);
    for (const auto& other : {with("bench-1", "bench-2"),
                              with("Corvane", "Corvene"),
                              with("Europe/Berlin", "UTC"),
                              with("K1", "K2"),
                              with("bench.journal", "b.journal"),
                              with("\"tags\"", "\"tag\""),
                              good + "dpi = 300\n",
                              good + "size = \"a6\"\n",
                              good + "printer = \"p\"\n",
                              good + "fonts = \"f\"\n",
                              good + "[http]\nport = 1\n",
                              good + "[http]\naddress = \"::1\"\n",
                              good + "[http]\nallow_other_addresses = true\n",
                              good + "[http]\ncertificate = \"c\"\nkey = \"k\"\n",
                              good + "[http]\ncertificate = \"c\"\nkey = \"l\"\n",
                              good + "[http]\nnames = [\"n\"]\n",
                              good + "[bench]\nproof_interval_min = 5\n",
                              good + "[bench]\nrepeats_allowed = 2\n",
                              good + "[bench]\nprove_after_reconnect = false\n",
                              good + "[bench]\nown_hold_may_be_settled = true\n",
                              good + "[bench]\nhose_age_years = 5\n",
                              good + "[record]\nname = \"n\"\n",
                              good + "[record]\nkey = \"k\"\n",
                              good + "[record]\ncheckpoints = \"c\"\n",
                              good + "[record]\nsecond_folder = \"s\"\n",
                              good + "[record]\nhourly = false\n",
                              good + "[record]\nlink = \"https://shop.example\"\n",
                              good + "[[gauge]]\nid = \"c\"\nport = \"/dev/x\"\nprofile = \"p\"\n"}) {
        const auto changed = parse_config(other);
        INFO(other);
        REQUIRE(changed.has_value());
        CHECK(canonical_text(*changed) != text);
    }
}

TEST_CASE("A serial prefix that no serial can be made with is refused before the station starts") {
    for (const char* prefix : {"ABCD", "K-1", "k1", "U1"}) {
        const auto config = parse_config(with("\"K1\"", "\"" + std::string(prefix) + "\""));
        REQUIRE_FALSE(config);
        CHECK(config.error().front().key == "station.serial_prefix");
    }
    CHECK(parse_config(with("\"K1\"", "\"K1Z\"")));
}
