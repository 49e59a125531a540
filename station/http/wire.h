// One connection's bytes, whether they travel in the clear or through TLS: the server's coroutines see only this.
//
// Every call has a deadline; when it passes, the call ends with operation_aborted and the connection is of no further
// use. One call at a time. Errors come by the error code, as everywhere in Asio; the end of what the other side sends
// is asio::error::eof.
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <memory>
#include <string_view>

#include <boost/asio/awaitable.hpp>
#include <boost/asio/buffer.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/steady_timer.hpp>

// In every coroutine on a wire g++ 12 takes Asio's allocation of the frame (aligned_alloc) and Asio's own operator
// delete for a mismatch.
#pragma GCC diagnostic ignored "-Wmismatched-new-delete"

namespace crimpgate {

class Wire {
  public:
    using Socket = boost::asio::ip::tcp::socket;
    using Time = std::chrono::steady_clock::time_point;
    using Error = boost::system::error_code;
    template <class T>
    using Awaitable = boost::asio::awaitable<T>;

    virtual ~Wire();
    Wire(const Wire&) = delete;
    Wire& operator=(const Wire&) = delete;

    // What must be agreed before the first byte of a request: nothing in the clear, the handshake with TLS.
    virtual Awaitable<void> open(Time deadline, Error& ec) = 0;
    virtual Awaitable<std::size_t> read_some(boost::asio::mutable_buffer to, Time deadline, Error& ec) = 0;
    virtual Awaitable<void> write_all(std::string_view text, Time deadline, Error& ec) = 0;
    // Says that no more comes.
    virtual Awaitable<void> shutdown(Time deadline) = 0;

    // Takes and forgets what is still under way, until the other end closes: closing on bytes that nobody read would
    // reset the connection and could take the last answer with it. After shutdown().
    Awaitable<void> drain(std::size_t most, Time deadline);
    // Whatever is waited for ends with operation_aborted.
    void cancel();
    void close();

    const boost::asio::ip::address& peer() const { return peer_; }

  protected:
    explicit Wire(Socket socket);

    // The time that one call has. Armed before it, disarmed after it, whatever came of it.
    class Watch {
      public:
        Watch(Wire& wire, Time deadline);
        ~Watch();
        Watch(const Watch&) = delete;
        Watch& operator=(const Watch&) = delete;

      private:
        Wire& wire_;
    };

    Socket socket_;

  private:
    struct Alarm;
    boost::asio::steady_timer timer_;
    std::shared_ptr<Alarm> alarm_;
    boost::asio::ip::address peer_;
};

// Makes the wire of a connection that was accepted.
using MakeWire = std::function<std::unique_ptr<Wire>(Wire::Socket socket)>;
std::unique_ptr<Wire> plain_wire(Wire::Socket socket);

}  // namespace crimpgate
