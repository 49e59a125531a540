// A small HTTP/1.1 server for one bench: bounded in everything, on the daemon's one loop.
//
// Parsing is request_reader's, the bytes' way wire's. The handler is called on the loop's thread, one request at a
// time; an answer that takes long goes to a second thread (LaterAnswer). A client that stalls loses its connection,
// never the bench's time: requests have a deadline, streams are read from the journal at the client's own pace. One
// machine never takes all connections, and other machines never those that the bench's own screen needs.
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

class TlsIdentity;

struct HttpLimits {
    std::size_t body_bytes = 4u << 20;
    std::size_t header_bytes = 16u << 10;
    std::size_t connections = 64;
    std::size_t per_peer = 24;               // of them from one address; as many are kept for this machine
    std::chrono::milliseconds idle{30'000};  // between requests, for a body to arrive, and for an answer to be taken
    std::chrono::milliseconds head{10'000};  // for a handshake, and for a head from its first byte to its last
    std::chrono::milliseconds beat{5'000};   // a stream says "beat" when nothing else was said for so long
    std::int64_t stream_batch = 32;          // entries that a stream reads at a time
    std::chrono::milliseconds grace{2'000};  // for running answers when stopping
};

// Whether one more connection is taken: `same` are open from its address, `others` from all other machines, `here` says
// that it comes from this one.
bool has_room(const HttpLimits& limits, std::size_t open, std::size_t same, std::size_t others, bool here);

// How the server is reached.
struct HttpDoor {
    std::shared_ptr<const TlsIdentity> tls;  // none: in the clear
    std::vector<std::string> names;          // further hosts that it may be asked for under, beside the certificate's
};

class HttpServer {
  public:
    HttpServer(boost::asio::io_context& io, HttpLimits limits, HttpHandler handler, HttpDoor door = {});
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
