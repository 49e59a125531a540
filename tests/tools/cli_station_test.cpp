// The same commands asked of a running station: crimpgated itself, with people of its own, on a free port.
#include <fcntl.h>
#include <poll.h>
#include <pty.h>
#include <signal.h>
#include <sys/stat.h>
#include <unistd.h>

#include <chrono>

#include "tests/support/build_folder.h"
#include "tests/tools/cli_kit.h"
#include "tools/client/api_client.h"

using namespace cli_kit;

namespace json = boost::json;

namespace {

const std::string pin = "503917";

// What comes from that end within the time, until it holds `wanted` or ends.
std::string read_until(int fd, const std::string& wanted, int seconds) {
    std::string text;
    const auto until = std::chrono::steady_clock::now() + std::chrono::seconds(seconds);
    while ((wanted.empty() || !has(text, wanted)) && std::chrono::steady_clock::now() < until) {
        pollfd waiting{fd, POLLIN, 0};
        if (poll(&waiting, 1, 100) <= 0) continue;
        char piece[4096];
        const auto n = read(fd, piece, sizeof piece);
        if (n <= 0) break;
        text.append(piece, static_cast<std::size_t>(n));
    }
    return text;
}

// crimpgated as a child, stopped when this goes away.
class Station {
  public:
    Station() {
        const auto config = folder_ / "station.toml";
        std::ofstream(config) << "[station]\nid = \"bench-1\"\nshop = \"Invented Hose Works\"\n"
                                 "time_zone = \"Europe/Berlin\"\nserial_prefix = \"K1\"\n[journal]\nfile = \""
                              << file() << "\"\n[http]\nport = 0\n[tag]\nfolder = \"" << (folder_ / "tags").string()
                              << "\"\n[[gauge]]\nid = \"G1\"\nport = \"/dev/serial/by-id/none\"\nprofile = \""
                              << source_file("drivers/profiles/signed_decimal_unit.toml") << "\"\n";
        std::filesystem::create_directory(folder_ / "tags");
        int ends[2];
        REQUIRE(pipe2(ends, O_CLOEXEC) == 0);
        child_ = fork();
        if (child_ == 0) {
            dup2(ends[1], STDOUT_FILENO);
            const int quiet = open("/dev/null", O_WRONLY);
            dup2(quiet, STDERR_FILENO);
            const std::string daemon = build_folder() + "/station/crimpgated";
            execl(daemon.c_str(), "crimpgated", "--config", config.c_str(), nullptr);
            _exit(127);
        }
        close(ends[1]);
        std::string told = read_until(ends[0], " listens at ", 60);
        if (!told.ends_with('\n')) told += read_until(ends[0], "\n", 60);
        close(ends[0]);
        const auto at = told.find("http://");
        INFO("crimpgated said: " << told);
        REQUIRE(at != std::string::npos);
        address_ = told.substr(at, told.find_first_of(" \n", at) - at);
        constexpr std::string_view code_is = "first person is ";
        if (const auto code = told.find(code_is); code != std::string::npos)
            code_ = told.substr(code + code_is.size(), told.find('\n', code) - code - code_is.size());
        for (const char c : address_.substr(address_.rfind(':') + 1))
            port_ = static_cast<std::uint16_t>(port_ * 10 + (c - '0'));
    }
    ~Station() {
        if (child_ <= 0) return;
        kill(child_, SIGTERM);
        int status = 0;
        waitpid(child_, &status, 0);
    }
    Station(const Station&) = delete;
    Station& operator=(const Station&) = delete;

    std::string file() const { return (folder_ / "journal.sqlite").string(); }
    std::string path(const std::string& name) const { return (folder_ / name).string(); }
    const std::string& address() const { return address_; }
    std::uint16_t port() const { return port_; }
    // With what the first person is added.
    const std::string& code() const { return code_; }

    // The arguments that ask this station as that person.
    std::vector<std::string> asked(std::vector<std::string> command, const std::string& person,
                                   const std::string& pin_file) const {
        for (const auto& word :
             {std::string("--station"), address_, std::string("--person"), person, std::string("--pin-file"), pin_file})
            command.push_back(word);
        return command;
    }

  private:
    Folder folder_;
    pid_t child_ = -1;
    std::string address_;
    std::string code_;
    std::uint16_t port_ = 0;
};

std::string pin_file(const Station& station, const std::string& name, const std::string& text, mode_t mode) {
    const auto file = station.path(name);
    std::ofstream(file) << text << "\n";
    REQUIRE(chmod(file.c_str(), mode) == 0);
    return file;
}

}  // namespace

TEST_CASE("A running station is asked over its API, by a person with a PIN") {
    Station station;
    ApiClient client("127.0.0.1", station.port());
    json::object person{{"person", "SE-1"}, {"name", "Ida Lind"}, {"role", "setter"}, {"pin", pin}};
    CHECK(must(client.post("/api/people", person)).code() == "people.wrong_code");
    person["code"] = station.code();
    const auto first = must(client.post("/api/people", person));
    INFO(first.text);
    REQUIRE(first.ok());
    const auto secret = pin_file(station, "pin", pin, 0600);

    const auto verified = run(station.asked({"verify"}, "SE-1", secret));
    INFO(verified.out << verified.err);
    CHECK(verified.code == 0);
    CHECK(has(verified.out, "sound up to entry "));

    // The same entries with the same hashes as in the file; the person's without their PIN's hash.
    const auto over_api = run(station.asked({"entries", "--json"}, "SE-1", secret));
    const auto from_file = run({"entries", "--json", "--journal", station.file()});
    CHECK(over_api.code == 0);
    REQUIRE_FALSE(over_api.out.empty());
    CHECK(from_file.out.substr(0, over_api.out.size()) == over_api.out);
    CHECK(has(over_api.out, "\"person.added\""));
    CHECK_FALSE(has(over_api.out, "argon2id"));

    CHECK(has(run(station.asked({"orders"}, "SE-1", secret)).out, "No order was opened"));
    CHECK(has(run(station.asked({"holds"}, "SE-1", secret)).out, "Nothing waits to be settled"));
    const auto never = run(station.asked({"trace", serial('A')}, "SE-1", secret));
    CHECK(never.code == 3);
    CHECK(has(never.err, "No assembly with the serial " + serial('A')));

    // The unit is asked of the station: 0.012 mm are 0.000472 in.
    CHECK(must(client.sign_in("SE-1", pin, false)).ok());
    CHECK(must(client.post("/api/gauges", {{"gauge", "G1"},
                                           {"resolution_nm", 10'000},
                                           {"uncertainty_nm", 12'000},
                                           {"proof_limit_nm", 20'000},
                                           {"calibrated", "2026-01-10"},
                                           {"calibration_due", "2027-01-10"},
                                           {"certificate", "CAL-1"}}))
              .ok());
    CHECK(has(run(station.asked({"entries"}, "SE-1", secret)).out, "standard uncertainty 0.0120 mm"));
    auto limits = must(client.get("/api/limits")).json;
    limits["shown_unit"] = "inch";
    CHECK(must(client.post("/api/limits", limits)).ok());
    CHECK(has(run(station.asked({"entries"}, "SE-1", secret)).out, "standard uncertainty 0.000472 in"));

    // R12: what a station does not know is told, and a refused delivery with every reason and its serials.
    CHECK(has(run(station.asked({"delivery", "list"}, "SE-1", secret)).out, "Nothing was delivered yet"));
    const auto mistyped = run(station.asked({"recall", "--hose-lot", "H-9"}, "SE-1", secret));
    CHECK(mistyped.code == 3);
    CHECK(has(mistyped.err, "H-9"));
    const json::object lead{{"person", "LD-1"}, {"name", "Mara Quill"}, {"role", "lead"}, {"pin", pin}};
    CHECK(must(client.post("/api/people", lead)).ok());
    const auto goes = station.path("goes");
    std::ofstream(goes) << serial('A') << "\r\n" << serial('B') << "\n\n" << serial('B') << "\n";
    const auto sent = run(station.asked(
        {"delivery", "send", "--customer", "Hafen Nord", "--to", "gate", "--serials", goes}, "LD-1", secret));
    INFO(sent.err);
    CHECK(sent.code == 3);
    CHECK(sent.out.empty());
    CHECK(has(sent.err, "2 not known to this station"));
    CHECK(has(sent.err, "1 named more than once: " + serial('B')));
    CHECK(has(run(station.asked({"delivery", "list"}, "LD-1", secret)).out, "Nothing was delivered yet"));

    CHECK(run(station.asked({"rebuild-views"}, "SE-1", secret)).code == 0);
    const auto copy = station.path("copy.sqlite");
    CHECK(run(station.asked({"back-up", copy}, "SE-1", secret)).code == 0);
    CHECK(run({"verify", "--journal", copy}).code == 0);

    // The record is signed on demand, countersigned elsewhere, brought back, and compared by the station's own proof.
    const auto shown = run(station.asked({"key", "show", "--json"}, "SE-1", secret));
    const std::string key(json::parse(shown.out).at("keys").at(0).at("key").as_string());
    const auto sign = [&](const std::string& name) {
        const auto made = run(station.asked({"checkpoint", "sign"}, "SE-1", secret));
        INFO(made.err);
        REQUIRE(made.code == 0);
        std::ofstream(station.path(name)) << made.out;
        return station.path(name);
    };
    const auto older = sign("older.txt");
    const auto witness = run({"witness-key", station.path("lead.key"), "--name", "lead-home"});
    const auto back = station.path("back.txt");
    REQUIRE(run({"countersign", older, "--key", station.path("lead.key"), "--log", key, "--to", back}).code == 0);
    const auto unknown = run(station.asked({"checkpoint", "bring", back}, "SE-1", secret));
    CHECK(unknown.code == 3);
    CHECK(has(unknown.err, "lead-home is no witness that this station knows"));
    CHECK(must(client.post("/api/witnesses",
                           {{"key", witness.out.substr(0, witness.out.size() - 1)}, {"holder", "Mara Quill, at home"}}))
              .ok());
    const auto brought = run(station.asked({"checkpoint", "bring", back}, "SE-1", secret));
    INFO(brought.err);
    CHECK(brought.code == 0);
    CHECK(has(run(station.asked({"checkpoint", "list"}, "SE-1", secret)).out, "lead-home"));
    const auto newer = sign("newer.txt");
    const auto compared = run(station.asked({"compare", older, newer, "--key", key}, "SE-1", secret));
    INFO(compared.out << compared.err);
    CHECK(compared.code == 0);
    CHECK(has(compared.out, "not one was changed"));
    CHECK(run(station.asked({"verify", "--key", key}, "SE-1", secret)).code == 2);

    const auto stranger = run(station.asked({"orders"}, "SE-1", pin_file(station, "wrong", "999999", 0600)));
    CHECK(stranger.code == 3);
    CHECK(has(stranger.err, "do not belong together"));
    const auto open_to_all = run(station.asked({"orders"}, "SE-1", pin_file(station, "open", pin, 0644)));
    CHECK(open_to_all.code == 3);
    CHECK(has(open_to_all.err, "no secret any more"));
}

TEST_CASE("The PIN is asked for at the terminal and not shown; a station that is not there is told") {
    int terminal = -1;
    const pid_t child = forkpty(&terminal, nullptr, nullptr, nullptr);
    REQUIRE(child >= 0);
    if (child == 0) {
        execl(program.c_str(), "crimpgate", "orders", "--station", "http://127.0.0.1:1", "--person", "OP-7", nullptr);
        _exit(127);
    }
    std::string seen = read_until(terminal, "PIN or passphrase of OP-7: ", 30);
    CHECK(has(seen, "PIN or passphrase of OP-7: "));
    REQUIRE(write(terminal, (pin + "\n").data(), pin.size() + 1) == static_cast<ssize_t>(pin.size() + 1));
    seen += read_until(terminal, "", 30);
    int status = 0;
    waitpid(child, &status, 0);
    close(terminal);
    REQUIRE(WIFEXITED(status));
    CHECK(WEXITSTATUS(status) == 3);
    CHECK_FALSE(has(seen, pin));
    CHECK(has(seen, "does not answer"));

    // Without a terminal there is nobody to ask.
    const auto nobody =
        run({"orders", "--station", "http://127.0.0.1:1", "--person", "OP-7", "--pin-file", "/nowhere"});
    CHECK(nobody.code == 3);
}
