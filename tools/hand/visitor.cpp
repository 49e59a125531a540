#include "tools/hand/visitor.h"

#include <poll.h>
#include <unistd.h>

#include <atomic>
#include <boost/json.hpp>
#include <csignal>
#include <cstdio>
#include <fstream>
#include <iterator>

#include "station/words/catalogue.h"
#include "tools/caliper/script.h"
#include "tools/client/api_client.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

constexpr std::int64_t step_nm = 10'000;
constexpr std::int64_t outside_nm = 100'000;

std::atomic<bool> interrupted{false};

std::int64_t whole_steps(std::int64_t nm) {
    return nm / step_nm * step_nm;
}

Result<void> open_order(ApiClient& office, const std::string& source) {
    const std::string path = source + "/specs/examples/demo_order_five.csv";
    std::ifstream file(path, std::ios::binary);
    if (!file) return refuse(message("hand.no_file").with("file", path));
    const std::string csv(std::istreambuf_iterator<char>(file), {});
    const auto reply = office.post("/api/orders", {{"csv", csv}});
    if (!reply) return refuse(reply.error());
    if (reply->ok() || reply->text.find("bench.order_known") != std::string::npos) return {};
    return refuse(message("hand.refused").with("code", reply->code()).with("words", reply->words()));
}

void say_what_to_do(std::uint16_t port, const HandSettings& settings) {
    const auto& crew = settings.crew;
    std::printf(
        "\nThe station goes on. Open  http://127.0.0.1:%u/  in a browser on this machine.\n\n"
        "  operator  %s  PIN %s      measures, confirms; may not settle a hold\n"
        "  lead      %s  PIN %s      settles holds, also at the operator's screen\n"
        "  setter    %s  PIN %s      people, gauges, spec tables, orders\n\n"
        "An order of five waits: WO-2042. Its lots: hose %s, fittings %s and %s.\n"
        "The screen says what to do next. Where it wants the caliper, type here:\n"
        "  good             the middle of what the bench asks for\n"
        "  small, large     a tenth of a millimetre beyond the band: the part is stopped\n"
        "  close            between guard and limit: too close to call\n"
        "  press 25.48 mm   that size; also unplug, plug, unit inch 1.0032, half 25.4, repeat, noise 40\n"
        "  stop             the end\n",
        static_cast<unsigned>(port), crew.operator_id.c_str(), crew.operator_pin.c_str(), crew.lead_id.c_str(),
        crew.lead_pin.c_str(), crew.setter_id.c_str(), crew.setter_pin.c_str(), settings.hose_lot.c_str(),
        settings.fitting_a_lot.c_str(), settings.fitting_b_lot.c_str());
    std::fflush(stdout);
}

Result<void> obey(const std::string& line, SimulatedCaliper& caliper, ApiClient& office) {
    if (line == "good" || line == "small" || line == "large" || line == "close") {
        const auto bench = office.get("/api/bench");
        if (!bench) return refuse(bench.error());
        const auto size = size_for(bench->json, line);
        if (!size) return refuse(size.error());
        std::printf("pressed at %s mm\n", size->to_mm_text(2).c_str());
        std::fflush(stdout);
        return caliper.press(*size, LengthUnit::mm);
    }
    const auto step = parse_step(line, caliper.profile().expected);
    if (!step) return refuse(step.error());
    return step->perform ? step->perform(caliper) : Result<void>();
}

}  // namespace

Result<Length> size_for(const json::object& bench, std::string_view word) {
    const auto& step = bench.at("step").as_object();
    const auto number = [&](const char* name) -> std::optional<std::int64_t> {
        const auto* value = step.if_contains(name);
        return value != nullptr && value->is_int64() ? std::optional(value->as_int64()) : std::nullopt;
    };
    auto lower = number("lower_nm"), upper = number("upper_nm");
    if (const auto size = number("size_nm")) {  // of a reference: the proof's limit to either side
        const std::int64_t limit = number("limit_nm").value_or(0);
        lower = *size - limit;
        upper = *size + limit;
    }
    if (!lower || !upper) return refuse(message("visitor.nothing_to_measure"));
    if (word == "good") return Length::from_nm(whole_steps((*lower + *upper) / 2));
    if (word == "small") return Length::from_nm(whole_steps(*lower - outside_nm));
    if (word == "large") return Length::from_nm(whole_steps(*upper + outside_nm));
    if (word != "close") return refuse(message("visitor.unknown_word").with("found", std::string(word)));
    const std::int64_t guard = number("guard_nm").value_or(0);
    const std::int64_t close = whole_steps(*upper);
    if (guard == 0 || close <= *upper - guard) return refuse(message("visitor.no_guard"));
    return Length::from_nm(close);
}

Result<void> receive_visitor(SimulatedCaliper& caliper, std::uint16_t port, const std::string& source,
                             const HandSettings& settings) {
    ApiClient office("127.0.0.1", port);
    if (auto in = office.sign_in(settings.crew.setter_id, settings.crew.setter_pin); !in) return refuse(in.error());
    if (auto opened = open_order(office, source); !opened) return opened;
    // The story's operator goes home, so that the visitor finds the bench free.
    ApiClient bench("127.0.0.1", port);
    if (auto in = bench.sign_in(settings.crew.operator_id, settings.crew.operator_pin); !in) return refuse(in.error());
    if (auto out = bench.post("/api/sign-out"); !out) return refuse(out.error());
    say_what_to_do(port, settings);
    std::signal(SIGINT, [](int) { interrupted = true; });
    std::signal(SIGTERM, [](int) { interrupted = true; });
    std::string line;
    bool listening = true;
    while (!interrupted) {
        pollfd in{0, POLLIN, 0};
        if (::poll(&in, listening ? 1 : 0, 200) <= 0) continue;
        char c = 0;
        if (::read(0, &c, 1) != 1) {
            listening = false;  // nobody there to type: until a signal comes
            continue;
        }
        if (c != '\n') {
            line += c;
            continue;
        }
        if (line == "stop") return {};
        if (const auto done = obey(line, caliper, office); !done) {
            std::printf("%s\n", say(done.error()).c_str());
            std::fflush(stdout);
        }
        line.clear();
    }
    return {};
}

}  // namespace crimpgate
