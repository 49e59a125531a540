// Descriptions of the bodies of the certificates' routes for station/json/reflect.h.
#pragma once

#include <optional>
#include <string>

#include <boost/describe.hpp>

#include "reports/certificate.h"

namespace crimpgate {

BOOST_DESCRIBE_ENUM(CertificateStatement, declaration, manner_2_2, manner_3_1)
BOOST_DESCRIBE_ENUM(PaperSize, a4, letter)

namespace api {

enum class CertificateOf { serial, order, delivery };
enum class CertificateLanguage { en, de };
BOOST_DESCRIBE_ENUM(CertificateOf, serial, order, delivery)
BOOST_DESCRIBE_ENUM(CertificateLanguage, en, de)

struct CertificateBody {
    CertificateOf subject = CertificateOf::serial;
    std::string id;
    CertificateStatement statement = CertificateStatement::declaration;
    std::string function;  // of whoever releases
    bool independent = false;
    std::optional<PaperSize> paper;               // not given: A4
    std::optional<CertificateLanguage> language;  // not given: English
    std::optional<bool> with_link;                // of a delivery: print the address of the customer's page
    std::optional<std::string> link_until;        // its last day; not given: until it is revoked
};
BOOST_DESCRIBE_STRUCT(CertificateBody, (),
                      (subject, id, statement, function, independent, paper, language, with_link, link_until))

}  // namespace api
}  // namespace crimpgate
