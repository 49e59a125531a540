// The tables of a certificate: of a few assemblies every reading has a row of its own; of many each end has one row,
// and what its readings were held against (band, guard, uncertainty, gauge) stands once, as a numbered basis.
#pragma once

#include <vector>

#include "reports/audit_pdf_table.h"
#include "reports/certificate_words.h"

namespace crimpgate::certificate_tables {

using certificate_words::Words;

// Up to so many assemblies have every reading in a row of its own.
inline constexpr std::size_t few = 3;

// One row a serial: item, when it passed, the least margin, verdict, re-crimps, concession, proof test, log index.
PaperTable summary(const CertificateData& data, const Words& words);

// Every reading that counts of one assembly.
PaperTable readings(const CertificateAssembly& assembly, const Words& words);

// What readings were held against, each once, numbered from 1 in the order of coming.
struct Basis {
    Characteristic what = Characteristic::depth;
    std::optional<Length> lower, upper, guard, uncertainty;
    std::string gauge;
    std::int64_t gauge_seq = 0;
    bool operator==(const Basis&) const = default;
};
class Bases {
  public:
    explicit Bases(const CertificateData& data);
    const std::vector<Basis>& all() const { return all_; }
    std::size_t number_of(const CertificateReading& reading) const;

  private:
    std::vector<Basis> all_;
};
PaperTable bases(const Bases& bases, const CertificateData& data, const Words& words);
// One row an end; a cell with a value whose basis is not clear from its column says it: "31.02 [4]".
PaperTable ends(const CertificateData& data, const Bases& bases, const Words& words);

PaperTable recrimps(const CertificateData& data, const Words& words);
PaperTable proof_tests(const CertificateData& data, const Words& words);
PaperTable gauges(const CertificateData& data, const Words& words);
PaperTable proofs(const CertificateData& data, const Words& words);
PaperTable application(const CertificateApplication& application, const Words& words);

}  // namespace crimpgate::certificate_tables
