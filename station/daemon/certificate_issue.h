// Making a certificate, from what was asked to bytes. What may take long is done here, with a journal of its own and on
// any thread; the last word (a lead, the number, R1 once more) is the bench's, on the loop
// (commands::IssueCertificate).
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <string>

#include "reports/certificate.h"
#include "station/entries/record_entries.h"
#include "station/journal/checkpoints.h"
#include "station/journal/evidence_entries.h"

namespace crimpgate {

struct CertificateAsked {
    std::string subject, id;
    CertificateStatement statement = CertificateStatement::declaration;
    std::string function;  // of the releaser
    bool independent = false;
    PaperSize paper = PaperSize::a4;
    std::string language = "en";
    // Printed on it. The record gets the link from whoever made the token, together with the certificate.
    std::optional<CertificateLink> link{};
};

struct CertificateIssuer {
    std::string shop, address, place, station, time_zone;
    std::string person;                        // who releases
    std::map<std::string, std::string> names;  // of people, by id
    std::string number;                        // that it will have
    std::int64_t now_ms = 0;
    bool inches = false;
    std::function<std::string(const std::string& language, const Message&)> say;
};

// Before the seal, which is the key's, and without the hash of the sealed file.
struct MadeCertificate {
    entries::CertificateIssued issued;
    std::string pdf;
    std::string evidence;
};

// What stands in the way of it though it can be asked for (R1); nothing when nothing does. "certificate.in_the_way"
// (count, serials); the subject has them one by one.
Result<void> nothing_in_the_way(const CertificateSubject& subject);

// Refused: what certificate_subject, evidence_of and certificate_data refuse; "certificate.in_the_way";
// "certificate.not_independent" for one in the manner of 3.1; "certificate.releaser_measured" (person) where somebody
// states that they are independent of production and the record says otherwise; "certificate.not_covered" when the
// checkpoint does not reach to the last pass; "certificate.pdf_failed".
Result<MadeCertificate> make_certificate(const Journal& journal, const CertificateAsked& asked,
                                         const CertificateIssuer& issuer, const KeptCheckpoint& checkpoint);

}  // namespace crimpgate
