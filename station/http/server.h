// A small HTTP/1.1 server for one bench: bounded in everything, on the daemon's one loop.
//
// The HTTP library stays inside server.cpp. The handler is called on the loop's thread, one request at a time; an
// answer that takes long goes to a second thread (LaterAnswer). A client that stalls loses its connection, never the
// bench's time: requests have a deadline, streams are read from the journal at the client's own pace.
#pragma once

#include <chrono>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "specs/message.h"
#include "station/http/http_types.h"

namespace boost::asio {
class io_context;
}

namespace crimpgate {

struct HttpLimits {
    std::size_t body_bytes = 4u << 20;
    std::size_t header_bytes = 16u << 10;
    std::size_t connections = 64;
    std::chrono::milliseconds idle{30'000};  // for a request to arrive, and for an answer to be taken
    std::chrono::milliseconds beat{10'000};  // a stream says "beat" when nothing else was said for so long
    std::int64_t stream_batch = 32;          // entries that a stream reads at a time
    std::chrono::milliseconds grace{2'000};  // for running answers when stopping
};

class HttpServer {
  public:
    HttpServer(boost::asio::io_context& io, HttpLimits limits, HttpHandler handler);
    ~HttpServer();
    HttpServer(const HttpServer&) = delete;
    HttpServer& operator=(const HttpServer&) = delete;

    // Binds and takes connections from now on. Port 0: any free one. "http.cannot_listen" (address, port, reason).
    Result<void> start(const std::string& address, std::uint16_t port);
    std::uint16_t port() const;

    // More may be read from the journal: streams look. Call after every commit.
    void wake_streams();

    // Takes no further connections, lets running answers finish (at most `grace`), ends the streams. The loop's run()
    // returns when nothing else keeps it.
    void stop();

    std::size_t connections() const;

  private:
    struct Core;
    std::shared_ptr<Core> core_;
};

}  // namespace crimpgate
