// The station's configuration: one TOML file with a closed set of keys, units in their names.
//
// station/crimpgated.example.toml says what each is for. A key that is not known, one that is missing and one with a
// value that cannot be are told with their line, all of them at once: a misspelt key must never mean "the default".
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include <tl/expected.hpp>

#include "specs/message.h"
#include "station/bench/rules.h"

namespace crimpgate {

struct GaugeConfig {
    std::string id;
    std::string port;     // "/dev/serial/by-id/..." or "tcp://host:port"
    std::string profile;  // file
    bool operator==(const GaugeConfig&) const = default;
};

struct Config {
    struct Station {
        std::string id;
        std::string shop;
        std::string time_zone;
        std::string serial_prefix;
        std::string profiles;  // folder of gauge profiles; empty: the one that comes with the program
        std::string address;   // of the shop, as certificates name their issuer; may be empty
        std::string place;     // where certificates are issued; may be empty
        bool operator==(const Station&) const = default;
    } station;
    struct JournalPlace {
        std::string file;
        bool operator==(const JournalPlace&) const = default;
    } journal;
    struct Bench {
        std::int64_t proof_interval_min = 240;
        std::int64_t repeats_allowed = 1;
        bool prove_after_reconnect = true;
        bool own_hold_may_be_settled = false;
        std::int64_t hose_age_years = 4;
        std::int64_t sign_out_after_min = 15;
        bool operator==(const Bench&) const = default;
    } bench;
    struct Http {
        std::string address = "127.0.0.1";
        std::int64_t port = 0;
        bool allow_other_addresses = false;
        std::string certificate;  // PEM files; both or neither
        std::string key;
        std::vector<std::string> names;  // further hosts that the station is asked for under
        bool operator==(const Http&) const = default;
    } http;
    struct Tag {
        std::string folder;
        std::string size = "100x150";  // "100x50", "a6"
        std::int64_t dpi = 203;
        std::string printer;  // CUPS queue; empty: folder only
        std::string fonts;    // folder; empty: where the build put them
        bool operator==(const Tag&) const = default;
    } tag;
    struct Record {
        std::string name;           // of the key that signs; empty: the station's id
        std::string key;            // its file; empty: "station.key" beside the journal
        std::string checkpoints;    // folder; empty: "checkpoints" beside the journal
        std::string second_folder;  // for checkpoints once more, off this machine if possible; may be empty
        bool hourly = true;
        std::string link;  // the shop's, https://..., for the code on tags; may be empty
        bool operator==(const Record&) const = default;
    } record;
    std::vector<GaugeConfig> gauges;
    bool operator==(const Config&) const = default;
};

struct ConfigError {
    std::int64_t line = 0;  // 0: the file as a whole
    std::string key;        // "bench.proof_interval_min", "gauge[2].port"
    Message why;            // "config.*", with line and key among its details
    bool operator==(const ConfigError&) const = default;
};

// In the order of their lines. Relative paths stay as they are: they count from where the program was started.
tl::expected<Config, std::vector<ConfigError>> parse_config(std::string_view toml_text);
// "config.unreadable" (file, reason) beside the above.
tl::expected<Config, std::vector<ConfigError>> load_config(const std::string& file);

// Every value in force, defaults included, one "key = value" a line in a fixed order: what the journal's
// station.started names by its SHA-256.
std::string canonical_text(const Config& config);

BenchRules bench_rules(const Config& config);

}  // namespace crimpgate
