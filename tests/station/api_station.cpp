#include "api_station.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <boost/asio/executor_work_guard.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/post.hpp>
#include <boost/json.hpp>
#include <future>
#include <stdexcept>
#include <thread>

#include "station/daemon/gauge_lines.h"
#include "station/http/pages.h"
#include "station/http/trace_page.h"
#include "station/journal/checkpoints.h"
#include "station/proof/checkpoint.h"
#include "station/proof/paper_seal.h"
#include "tests/support/bench_fixture.h"

namespace crimpgate::test {

namespace json = boost::json;

struct ApiStation::Inside {
    Inside(const std::filesystem::path& folder, const Clock& clock, HttpLimits limits, const std::string& link)
        : journal(open_journal(folder)),
          desk(open_desk(journal, clock)),
          keeper(*desk, keys, key_file(folder)),
          sessions(clock, 8 * 3'600'000),
          waits(clock),
          lines(
              io, clock, ProfileFolder(),
              [this](const std::string& gauge, const GaugeEvent& event) {
                  desk->run(commands::GaugeSaid{gauge, event}, "");
              },
              [this](const std::string& gauge, const LineState& state) { line_state(gauge, state); }),
          api(*desk, journal, sessions, waits, parts(link)),
          customers(api, &page_text, "/pages/draft/"),
          server(io, limits, [this](const HttpRequest& request) { return answer(request); }) {
        desk->on_entry([this](const Entry& entry) {
            server.wake_streams();
            if (entry.type == "gauge.line_set") boost::asio::post(io, [this] { lines.follow(desk->state().lines); });
        });
        lines.start();
    }
    // As the station has it, but for the pages.
    HttpAnswer answer(const HttpRequest& request) {
        if (auto customer = customers.answer(request)) return std::move(*customer);
        return api(request);
    }
    static std::string page_text(const std::string& path) {
        for (const auto& file : built_pages())
            if (file.path == path) return std::string(file.text);
        return {};
    }
    void line_state(const std::string& gauge, const LineState& state) {
        if (state.kind == LineState::Kind::connected)
            desk->run(commands::GaugeReturned{gauge}, "");
        else
            desk->run(commands::GaugeGone{gauge, state.why}, "");
    }

    static Journal open_journal(const std::filesystem::path& folder) {
        JournalOptions options;
        options.station = "bench-1";
        auto opened = Journal::open(folder / "bench.journal", options);
        if (!opened) throw std::runtime_error(opened.error().code);
        return std::move(*opened);
    }
    static std::unique_ptr<Desk> open_desk(Journal& journal, const Clock& clock) {
        BenchRules rules;
        rules.station = "bench-1";
        auto opened = Desk::open(journal, rules, clock, "Europe/Berlin");
        if (!opened) throw std::runtime_error(opened.error().code);
        return std::move(*opened);
    }
    ApiParts parts(const std::string& link) {
        ApiParts out;
        out.certificates.link = link;
        out.lines = &lines;
        out.wake = [this] { server.wake_streams(); };
        out.printer = {"", "100x150", 203};
        out.version = "0.1.0";
        out.shop = "Corvane Hose Works";
        out.first_code = first_code;
        // A key of the tests' own; checkpoints without their files.
        out.certificates.sign = [this](const std::string& cause, const std::string& who) { return sign(cause, who); };
        out.certificates.seal = [this](std::string paper, const std::string& number) {
            return seal_paper(std::move(paper), number, keys.checkpoints);
        };
        out.checkpoints.sign = out.certificates.sign;
        out.checkpoints.hand_over = [this](const std::string& reason, const std::string& who) {
            return keeper.hand_over(reason, who);
        };
        out.checkpoints.seed = [this] { return keeper.seed(); };
        out.gauges["CAL-1"] = {"signed_decimal_unit", std::string(64, 'a')};
        // Stands for the fonts: anything beyond Latin-1 cannot be printed here.
        out.printable = [](std::string_view text) -> Result<void> {
            if (text.find('\xF0') == std::string_view::npos) return {};
            return refuse(message("print.no_glyph"));
        };
        return out;
    }

    static std::filesystem::path key_file(const std::filesystem::path& folder) {
        if (auto written = write_key_file(folder / "station.key", Seed{7}); !written)
            throw std::runtime_error(written.error().code);
        return folder / "station.key";
    }

    Result<KeptCheckpoint> sign(const std::string& cause, const std::string& who) {
        const auto& key = keys.checkpoints;
        if (desk->state().record.key.key.empty())
            desk->note(entries::KeyMade{key.verifier().name, key.verifier().text(), keys.tag_key_text()});
        const auto size = *journal.last_seq();
        const auto root = *journal.root(size);
        desk->note(entries::CheckpointSigned{size, to_base64(root), sign_checkpoint(size, root, key).bytes(), cause},
                   who);
        return **last_checkpoint(journal);
    }

    boost::asio::io_context io;
    Journal journal;
    std::unique_ptr<Desk> desk;
    StationKeys keys = keys_of("bench-1", Seed{7});
    KeyKeeper keeper;
    Sessions sessions;
    SignInWaits waits;
    GaugeLines lines;
    Api api;
    CustomerDoor customers;
    HttpServer server;
    std::thread thread;
};

ApiStation::ApiStation(HttpLimits limits, const std::string& link) {
    inside_ = std::make_unique<Inside>(folder, clock, limits, link);
    if (auto started = inside_->server.start("127.0.0.1", 0); !started) throw std::runtime_error(started.error().code);
    port_ = inside_->server.port();
    inside_->thread = std::thread([this] { inside_->io.run(); });
}

ApiStation::~ApiStation() {
    boost::asio::post(inside_->io, [this] {
        inside_->lines.stop();
        inside_->server.stop();
    });
    inside_->thread.join();
    inside_.reset();
}

std::string ApiStation::pin_of(const std::string& person) {
    std::string pin = "83";
    for (const char c : person)
        pin += std::to_string((c * 7) % 90 + 10);
    return pin;
}

std::string ApiStation::passphrase_of(const std::string& person) {
    return "rusty couplings, wet " + person + " gloves";
}

HttpResponse ApiStation::ask(HttpRequest request) {
    HttpResponse out;
    on_loop([&] {
        auto answer = inside_->answer(request);
        if (auto* response = std::get_if<HttpResponse>(&answer)) out = std::move(*response);
    });
    return out;
}

std::string ApiStation::token(const std::string& person) {
    std::string out;
    on_loop([&] { out = inside_->sessions.begin(person); });
    return out;
}

void ApiStation::tend() {
    on_loop([&] {
        inside_->desk->sign_out_idle();
        inside_->api.tend();
    });
}

ApiClient ApiStation::client(const std::string& person, std::optional<bool> at_bench) const {
    ApiClient out = client();
    auto reply = out.sign_in(person, pin_of(person), at_bench);
    if (!reply || !reply->ok()) throw std::runtime_error("cannot sign in " + person);
    return out;
}

void ApiStation::on_loop(const std::function<void()>& work) {
    std::promise<void> done;
    boost::asio::post(inside_->io, [&] {
        work();
        done.set_value();
    });
    done.get_future().get();
}

void ApiStation::set_up() {
    ApiClient any = client();
    const auto must = [](const Result<ApiReply>& reply) {
        if (!reply) throw std::runtime_error(reply.error().code);
        if (!reply->ok()) throw std::runtime_error(reply->text);
    };
    const auto person = [&](ApiClient& by, const char* id, const char* name, const std::string& role) {
        json::object body{{"person", id}, {"name", name}, {"role", role}, {"pin", pin_of(id)}};
        if (role != "operator") body["passphrase"] = passphrase_of(id);
        if (role == "setter") body["code"] = first_code;
        must(by.post("/api/people", body));
    };
    person(any, "SET", "Sela Tarn", "setter");
    ApiClient setter = client("SET");
    person(setter, "LEA", "Lea Quill", "lead");
    person(setter, "LEB", "Lebo Marsh", "lead");
    person(setter, "OPA", "Opal Reed", "operator");
    person(setter, "AUD", "Auda Fenn", "auditor");
    must(setter.post("/api/gauges", {{"gauge", "CAL-1"},
                                     {"resolution_nm", 10'000},
                                     {"uncertainty_nm", 12'000},
                                     {"proof_limit_nm", 20'000},
                                     {"calibrated", "2026-03-02"},
                                     {"calibration_due", "2027-03-01"},
                                     {"certificate", "C-2041"}}));
    must(setter.post("/api/references", {{"reference", "RING-25"},
                                         {"kind", "setting ring"},
                                         {"size_nm", 25'000'000},
                                         {"certificate", "K-3"},
                                         {"calibration_due", "2027-06-30"}}));
    on_loop([&] {
        auto& desk = *inside_->desk;
        const Ran ran[] = {desk.run(commands::GaugeReturned{"CAL-1"}, ""),
                           desk.run(commands::ProposeTable{"nordhaven.csv", "00", {bench_row()}, {}, false}, "SET"),
                           desk.run(commands::AdoptProposal{desk.state().last_seq}, "LEA"),
                           desk.run(commands::OpenOrder{bench_order()}, "SET")};
        for (const auto& each : ran)
            if (each.refusal) throw std::runtime_error(each.refusal->code);
    });
}

void ApiStation::note(const EntryBody& body) {
    on_loop([&] { inside_->desk->note(body); });
}

std::string ApiStation::run(const Command& command, const std::string& who) {
    std::string code;
    on_loop([&] {
        if (const auto ran = inside_->desk->run(command, who); ran.refusal) code = ran.refusal->code;
    });
    return code;
}

void ApiStation::press(const std::string& mm) {
    on_loop([&] {
        Reading reading;
        reading.value = *Length::parse(mm, LengthUnit::mm);
        reading.resolution = Length::from_nm(10'000);
        reading.raw = mm;
        reading.arrival = clock.now();
        inside_->desk->run(commands::GaugeSaid{"CAL-1", reading}, "");
    });
}

std::int64_t ApiStation::last_seq() {
    std::int64_t last = -1;
    on_loop([&] { last = inside_->journal.last_seq().value_or(-1); });
    return last;
}

std::vector<Entry> ApiStation::entries() {
    std::vector<Entry> out;
    on_loop([&] { out = inside_->journal.entries_from(1, 100'000).value_or(std::vector<Entry>{}); });
    return out;
}

std::string send_raw(std::uint16_t port, const std::string& bytes) {
    const int fd = ::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    sockaddr_in to{};
    to.sin_family = AF_INET;
    to.sin_port = htons(port);
    to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    std::string answer;
    if (::connect(fd, reinterpret_cast<const sockaddr*>(&to), sizeof to) == 0) {
        std::size_t sent = 0;
        while (sent < bytes.size()) {
            const auto n = ::send(fd, bytes.data() + sent, bytes.size() - sent, MSG_NOSIGNAL);
            if (n <= 0) break;
            sent += static_cast<std::size_t>(n);
        }
        char piece[16384];
        pollfd ready{fd, POLLIN, 0};
        while (::poll(&ready, 1, 60'000) > 0) {
            const auto n = ::recv(fd, piece, sizeof piece, 0);
            if (n <= 0) break;
            answer.append(piece, static_cast<std::size_t>(n));
        }
    }
    ::close(fd);
    return answer;
}

}  // namespace crimpgate::test
