// TLS for connections from other machines: TLS 1.2 and 1.3 alone, with suites that keep what was said secret even from
// whoever gets the key later (RFC 9325 section 4.2).
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "specs/message.h"
#include "station/http/wire.h"

namespace crimpgate {

class TlsIdentity {
  public:
    // A certificate (PEM, with those between it and the root behind it) and its key (PEM, without a passphrase).
    // Refused with "http.tls_unusable" (file, reason) and "http.tls_key_open" (file) when everybody on this machine may
    // read the key.
    static Result<TlsIdentity> load(const std::string& certificate, const std::string& key);

    // The names and addresses that the certificate is for (subjectAltName), in lower case and as a Host header has
    // them.
    const std::vector<std::string>& names() const { return names_; }
    MakeWire maker() const;

  private:
    struct Context;
    TlsIdentity() = default;
    std::shared_ptr<Context> context_;
    std::vector<std::string> names_;
};

}  // namespace crimpgate
