// crimpgate-caliper: a simulated gauge on a pseudo-terminal or a TCP port.
#include <signal.h>

#include <atomic>
#include <cstdio>
#include <fstream>
#include <iostream>
#include <iterator>
#include <optional>
#include <string>
#include <thread>

#include "drivers/frame_parser.h"
#include "drivers/profile_file.h"
#include "station/words/catalogue.h"
#include "tools/caliper/script.h"
#include "tools/shared/arguments.h"

using namespace crimpgate;

namespace {

constexpr const char* help = R"(NAME
    crimpgate-caliper - a simulated gauge on a real pseudo-terminal or TCP port

SYNOPSIS
    crimpgate-caliper --profile FILE (--link PATH | --tcp PORT) [--script FILE [--stay]]

DESCRIPTION
    Speaks like the gauge that a profile (drivers/profiles/*.toml) describes. Give crimpgate the printed address as
    the gauge's port. Commands come from the script, or line by line from the keyboard: type "press 25.48" and
    return. Every line that is sent is shown.

OPTIONS
    --profile FILE   the gauge's profile
    --link PATH      make a pseudo-terminal and put a link to it there
    --tcp PORT       listen on 127.0.0.1 instead, as a serial-over-Ethernet converter does; 0 takes any free port
    --script FILE    play the commands of that file, then end
    --stay           after the script, keep the line open until interrupted
    --help           this text

COMMANDS
    press VALUE [mm|in]        press the button (a gauge that streams or is asked: what it shows from now on)
    unit mm|inch VALUE         a press in that unit, expected or not
    half VALUE [mm|in]         the front half of a frame, then silence
    dribble VALUE [mm|in]      a frame one byte at a time
    lowbattery VALUE [mm|in]   a press with a low battery; so do overrange and hold
    badsum VALUE [mm|in]       a press with a wrong checksum
    blank VALUE [mm|in]        a press with blanks where digits belong
    repeat                     the press before, once more, at once
    noise COUNT [SEED]         bytes of line noise; the same seed gives the same bytes
    raw HEX                    those bytes
    unplug [MS]                pull the plug; with MS, put it back after that time
    plug                       put it back
    wait MS                    do nothing for that time
    listen                     wait until somebody has the line open
    # ...                      a remark

EXIT STATUS
    0 done; 1 a command could not be carried out; 2 wrong arguments, profile or script

EXAMPLE
    crimpgate-caliper --profile drivers/profiles/signed_decimal_unit.toml --link /tmp/caliper
)";

// False when the step was refused, which is said.
bool perform(SimulatedCaliper& caliper, const Step& step) {
    std::printf("%s\n", step.text.c_str());
    const std::uint64_t before = caliper.times_sent();
    if (const auto done = step.perform(caliper); !done) {
        std::printf("    %s\n", say(done.error()).c_str());
        std::fflush(stdout);
        return false;
    }
    if (caliper.times_sent() != before) std::printf("    sent %s\n", readable_bytes(caliper.last_sent()).c_str());
    std::fflush(stdout);
    return true;
}

bool play(SimulatedCaliper& caliper, const std::vector<Step>& steps) {
    bool all = true;
    for (const Step& step : steps)
        all = perform(caliper, step) && all;
    return all;
}

void obey_keyboard(SimulatedCaliper& caliper) {
    for (std::string line; std::getline(std::cin, line);) {
        const auto step = parse_step(line, caliper.profile().expected);
        if (!step)
            std::printf("    %s\n", say(step.error()).c_str());
        else if (step->perform)
            perform(caliper, *step);
        std::fflush(stdout);
    }
}

int wrong(const std::string& what) {
    std::fprintf(stderr, "crimpgate-caliper: %s\n", what.c_str());
    return 2;
}

Result<std::unique_ptr<SimulatedCaliper>> connect(Profile profile, const Arguments& given) {
    if (given.has("--link")) return SimulatedCaliper::on_pty(std::move(profile), given.value("--link"));
    const auto port = given.number("--tcp", 0, 65535);
    if (!port) return refuse(port.error());
    return SimulatedCaliper::on_tcp(std::move(profile), static_cast<std::uint16_t>(*port));
}

}  // namespace

int main(int argc, char* argv[]) {
    const auto given = Arguments::parse(argc, argv, {"--profile", "--link", "--tcp", "--script"}, {"--stay", "--help"});
    if (!given) return wrong(say(given.error()));
    if (given->has("--help")) {
        std::fputs(help, stdout);
        return 0;
    }
    if (!given->has("--profile") || given->has("--link") == given->has("--tcp"))
        return wrong("give --profile and one of --link and --tcp; --help tells more");
    auto profile = load_profile(given->value("--profile"));
    if (!profile) return wrong(say(profile.error()));
    std::optional<std::vector<Step>> steps;
    if (given->has("--script")) {
        std::ifstream in(given->value("--script"), std::ios::binary);
        if (!in) return wrong("the script " + given->value("--script") + " cannot be read");
        auto parsed = parse_script(std::string(std::istreambuf_iterator<char>(in), {}), profile->expected);
        if (!parsed) return wrong("line " + std::string(parsed.error().detail("line")) + ": " + say(parsed.error()));
        steps = std::move(*parsed);
    }

    // An interruption must take the link away: all threads leave the signals to the one that waits for them below.
    sigset_t stop;
    sigemptyset(&stop);
    sigaddset(&stop, SIGINT);
    sigaddset(&stop, SIGTERM);
    sigaddset(&stop, SIGHUP);
    pthread_sigmask(SIG_BLOCK, &stop, nullptr);

    auto caliper = connect(std::move(*profile), *given);
    if (!caliper) return wrong(say(caliper.error()));
    std::printf("%s: %s\n", (*caliper)->address().c_str(), (*caliper)->profile().title.c_str());
    std::fflush(stdout);

    std::atomic<int> outcome{-1};
    std::thread worker([&] {
        bool all = true;
        if (steps)
            all = play(**caliper, *steps);
        else
            obey_keyboard(**caliper);
        if (!given->has("--stay")) outcome = all ? 0 : 1;
    });
    const timespec slice{0, 50'000'000};
    bool interrupted = false;
    while (outcome < 0 && !interrupted)
        interrupted = sigtimedwait(&stop, nullptr, &slice) > 0;
    (*caliper)->unplug(interrupted);  // after the script: not before the last press was read
    if (interrupted) {
        std::fflush(stdout);
        _exit(0);  // the worker may be waiting for the keyboard
    }
    worker.join();
    return outcome;
}
