// Descriptions of the bodies of the routes of checkpoints, witnesses and keys for station/json/reflect.h.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include <boost/describe.hpp>

#include "station/http/describe_certificates.h"

namespace crimpgate::api {

struct CountersignatureBody {
    std::optional<std::int64_t> size;  // of the checkpoint; a whole note says it itself
    std::string line;                  // the signature's line, or the whole countersigned note
};
struct WitnessBody {
    std::string key;
    std::string holder;
};
struct ForgetWitnessBody {
    std::string key;
    std::string reason;
};
struct HandOverBody {
    std::string reason;
};
struct RecoveryBody {
    std::optional<PaperSize> paper;               // not given: A4
    std::optional<CertificateLanguage> language;  // not given: English
};

BOOST_DESCRIBE_STRUCT(CountersignatureBody, (), (size, line))
BOOST_DESCRIBE_STRUCT(WitnessBody, (), (key, holder))
BOOST_DESCRIBE_STRUCT(ForgetWitnessBody, (), (key, reason))
BOOST_DESCRIBE_STRUCT(HandOverBody, (), (reason))
BOOST_DESCRIBE_STRUCT(RecoveryBody, (), (paper, language))

}  // namespace crimpgate::api
