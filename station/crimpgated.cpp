// crimpgated: the daemon of one bench.
#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>

#include <csignal>
#include <cstdio>
#include <string>
#include <string_view>

#include "station/daemon/station.h"
#include "station/words/catalogue.h"

namespace {

constexpr const char* help = R"(NAME
    crimpgated - the gate between the crimper and the shipping rack, for one bench

SYNOPSIS
    crimpgated --config FILE [--check] [--pages FOLDER]

DESCRIPTION
    Reads the gauges that the configuration names, judges what they say, keeps the journal, makes tags, and answers the
    local JSON API and the browser with its pages. Runs in the foreground and logs to standard error; on standard output
    it says where it listens, and while nobody is known to the station, before that, the one-time code with which the
    first person is added. SIGTERM or SIGINT stop it cleanly. Being killed at any moment loses nothing
    that was shown.

OPTIONS
    --config FILE   the station's configuration (TOML); station/crimpgated.example.toml explains every key
    --check         say what is wrong with the configuration, start nothing
    --pages FOLDER  serve the pages from this folder, read anew each time, instead of those built in: for those who
                    work on them
    --help          this

EXIT STATUS
    0  stopped by a signal, or nothing is wrong
    1  something stands in the way; each reason on a line of its own on standard error
    2  wrong use

WARNING
    Oil at pressure goes through skin, hose ends whip, crimpers crush hands, hot oil burns. The makers' instructions,
    local codes and licensed practice come first. crimpgated records; it does not certify a design.
)";

}  // namespace

int main(int argc, char* argv[]) {
    using namespace crimpgate;
    std::string file, pages;
    bool check = false;
    for (int i = 1; i < argc; ++i) {
        const std::string_view argument = argv[i];
        if (argument == "--help") {
            std::fputs(help, stdout);
            return 0;
        }
        if (argument == "--check") {
            check = true;
        } else if (argument == "--config" && i + 1 < argc) {
            file = argv[++i];
        } else if (argument == "--pages" && i + 1 < argc) {
            pages = argv[++i];
        } else {
            std::fprintf(stderr, "crimpgated: %s is not known here; crimpgated --help tells what is\n", argv[i]);
            return 2;
        }
    }
    if (file.empty()) {
        std::fputs("crimpgated: which configuration? Give --config FILE\n", stderr);
        return 2;
    }
    const auto config = load_config(file);
    if (!config) {
        for (const auto& error : config.error())
            std::fprintf(stderr, "crimpgated: %s\n", say(error.why).c_str());
        return 1;
    }
    if (check) {
        std::puts("the configuration is right");
        return 0;
    }
    // A reader of ours that goes away must not take the bench with it; and the log belongs to standard error.
    std::signal(SIGPIPE, SIG_IGN);
    spdlog::set_default_logger(spdlog::stderr_logger_st("crimpgated"));
    auto station = Station::open(*config, pages);
    if (!station) {
        for (const auto& why : station.error())
            std::fprintf(stderr, "crimpgated: %s\n", say(why).c_str());
        return 1;
    }
    if (auto started = (*station)->start(); !started) {
        std::fprintf(stderr, "crimpgated: %s\n", say(started.error()).c_str());
        return 1;
    }
    if (const auto& code = (*station)->first_code(); !code.empty())
        std::printf("crimpgated: first start; the one-time code for the first person is %s\n", code.c_str());
    std::printf("crimpgated: %s listens at %s://%s:%u\n", config->station.id.c_str(),
                config->http.certificate.empty() ? "http" : "https", config->http.address.c_str(),
                static_cast<unsigned>((*station)->port()));
    std::fflush(stdout);
    (*station)->run();
    return 0;
}
