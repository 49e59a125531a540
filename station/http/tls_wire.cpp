#include "station/http/tls_wire.h"

#include <openssl/err.h>
#include <openssl/x509v3.h>
#include <sys/stat.h>

#include <algorithm>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/ssl/context.hpp>
#include <boost/asio/ssl/error.hpp>
#include <boost/asio/ssl/stream.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <cstring>

namespace crimpgate {

namespace asio = boost::asio;
namespace ssl = boost::asio::ssl;

struct TlsIdentity::Context {
    ssl::context tls{ssl::context::tls_server};
};

namespace {

using Error = Wire::Error;

class TlsWire : public Wire {
  public:
    TlsWire(Socket socket, ssl::context& context) : Wire(std::move(socket)), stream_(socket_, context) {}

    Awaitable<void> open(Time deadline, Error& ec) override {
        const Watch watch(*this, deadline);
        co_await stream_.async_handshake(ssl::stream_base::server, asio::redirect_error(asio::use_awaitable, ec));
    }

    Awaitable<std::size_t> read_some(asio::mutable_buffer to, Time deadline, Error& ec) override {
        const Watch watch(*this, deadline);
        const auto got = co_await stream_.async_read_some(to, asio::redirect_error(asio::use_awaitable, ec));
        if (ec == ssl::error::stream_truncated) ec = asio::error::eof;
        co_return got;
    }

    Awaitable<void> write_all(std::string_view text, Time deadline, Error& ec) override {
        const Watch watch(*this, deadline);
        ec = {};
        while (!ec && !text.empty())
            text.remove_prefix(
                co_await stream_.async_write_some(asio::buffer(text), asio::redirect_error(asio::use_awaitable, ec)));
    }

    // Says so and does not insist on an answer (RFC 8446 section 6.1 lets either side close its own direction).
    Awaitable<void> shutdown(Time deadline) override {
        Error ec;
        const Watch watch(*this, std::min(deadline, std::chrono::steady_clock::now() + std::chrono::milliseconds(500)));
        co_await stream_.async_shutdown(asio::redirect_error(asio::use_awaitable, ec));
    }

  private:
    ssl::stream<Socket&> stream_;
};

Message unusable(const std::string& file, const std::string& reason) {
    return message("http.tls_unusable").with("file", file).with("reason", reason);
}

// The names of RFC 6125 section 1.7.2's kinds that a browser compares: DNS names and addresses.
std::vector<std::string> names_of(X509* certificate) {
    std::vector<std::string> out;
    auto* list = static_cast<GENERAL_NAMES*>(X509_get_ext_d2i(certificate, NID_subject_alt_name, nullptr, nullptr));
    for (int i = 0; i < sk_GENERAL_NAME_num(list); ++i) {
        const auto* name = sk_GENERAL_NAME_value(list, i);
        int type = 0;
        const auto* value = static_cast<const ASN1_STRING*>(GENERAL_NAME_get0_value(name, &type));
        const auto* bytes = ASN1_STRING_get0_data(value);
        const auto size = static_cast<std::size_t>(ASN1_STRING_length(value));
        if (type == GEN_DNS) {
            std::string text(reinterpret_cast<const char*>(bytes), size);
            std::transform(text.begin(), text.end(), text.begin(),
                           [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
            if (!text.starts_with('*')) out.push_back(std::move(text));
        } else if (type == GEN_IPADD && size == 4) {
            asio::ip::address_v4::bytes_type v4;
            std::memcpy(v4.data(), bytes, size);
            out.push_back(asio::ip::address_v4(v4).to_string());
        } else if (type == GEN_IPADD && size == 16) {
            asio::ip::address_v6::bytes_type v6;
            std::memcpy(v6.data(), bytes, size);
            out.push_back('[' + asio::ip::address_v6(v6).to_string() + ']');
        }
    }
    GENERAL_NAMES_free(list);
    return out;
}

}  // namespace

Result<TlsIdentity> TlsIdentity::load(const std::string& certificate, const std::string& key) {
    auto context = std::make_shared<Context>();
    auto& tls = context->tls;
    SSL_CTX* native = tls.native_handle();
    Error ec;
    tls.set_options(ssl::context::default_workarounds | ssl::context::no_compression, ec);
    SSL_CTX_set_options(native, SSL_OP_NO_RENEGOTIATION | SSL_OP_CIPHER_SERVER_PREFERENCE);
    // TLS 1.3's own suites are all of that kind.
    if (SSL_CTX_set_min_proto_version(native, TLS1_2_VERSION) != 1 ||
        SSL_CTX_set_cipher_list(native, "ECDHE+AESGCM:ECDHE+CHACHA20:!aNULL:!eNULL") != 1)
        return refuse(unusable(certificate, "this OpenSSL knows no TLS 1.2 with ECDHE"));
    // A key that asks for a passphrase would stop the start in front of nobody.
    tls.set_password_callback([](std::size_t, ssl::context::password_purpose) { return std::string(); }, ec);
    struct stat about {};
    if (::stat(key.c_str(), &about) == 0 && (about.st_mode & S_IROTH) != 0)
        return refuse(message("http.tls_key_open").with("file", key));
    tls.use_certificate_chain_file(certificate, ec);
    if (ec) return refuse(unusable(certificate, ec.message()));
    tls.use_private_key_file(key, ssl::context::pem, ec);
    if (ec) return refuse(unusable(key, ec.message()));
    if (SSL_CTX_check_private_key(native) != 1) return refuse(unusable(key, "it is not this certificate's key"));
    ERR_clear_error();
    TlsIdentity out;
    out.names_ = names_of(SSL_CTX_get0_certificate(native));
    out.context_ = std::move(context);
    return out;
}

MakeWire TlsIdentity::maker() const {
    return [context = context_](Wire::Socket socket) -> std::unique_ptr<Wire> {
        return std::make_unique<TlsWire>(std::move(socket), context->tls);
    };
}

}  // namespace crimpgate
