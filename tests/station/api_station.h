// A whole station without its program: journal, desk, API and server on a loop of its own thread, on a free port.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <string>

#include "station/http/api.h"
#include "station/http/server.h"
#include "test_clock.h"
#include "tests/support/temp_folder.h"
#include "tools/client/api_client.h"

namespace crimpgate::test {

class ApiStation {
  public:
    // `link`: where customers reach it, [record] link of a configuration; empty: none is set.
    explicit ApiStation(HttpLimits limits = {}, const std::string& link = {});
    ~ApiStation();
    ApiStation(const ApiStation&) = delete;
    ApiStation& operator=(const ApiStation&) = delete;

    // SET (setter), LEA and LEB (leads), OPA and OPB (operators), AUD (auditor), each with pin_of(); gauge CAL-1,
    // RING-25, one spec row, order A-100; everything through the API where it can be.
    void set_up();
    static std::string pin_of(const std::string& person);
    // LEA, SET and AUD have one as well.
    static std::string passphrase_of(const std::string& person);
    static constexpr const char* first_code = "K7Q2M-0ZR4T";

    std::uint16_t port() const { return port_; }
    ApiClient client() const { return ApiClient("127.0.0.1", port_); }
    // Signed in; `at_bench` as the API has it.
    ApiClient client(const std::string& person, std::optional<bool> at_bench = std::nullopt) const;

    // Past the server, as it would come from this machine or, with from_here false, from another one. An event stream
    // and an answer that comes later count as 200.
    HttpResponse ask(HttpRequest request);
    // A program's session, without the cost of proving who that is.
    std::string token(const std::string& person);
    // What the daemon does every second.
    void tend();

    // Runs on the station's thread and waits for it.
    void on_loop(const std::function<void()>& work);
    // An entry, as the shell states it, or a command, by somebody who needs not sign in for it.
    void note(const EntryBody& body);
    std::string run(const Command& command, const std::string& who);  // the refusal's code, or ""
    // A press of CAL-1.
    void press(const std::string& mm);
    std::int64_t last_seq();
    std::vector<Entry> entries();

  private:
    const TempFolder place_;

  public:
    TestClock clock;
    const std::filesystem::path folder = place_.path();

  private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
    std::uint16_t port_ = 0;
};

// Bytes as they are, for what a proper client would not send. Answers all that comes until the other end closes or
// nothing has come for a while.
std::string send_raw(std::uint16_t port, const std::string& bytes);

}  // namespace crimpgate::test
