// What was measured, as QIF has it (ISO 23952:2020, "Characteristics"): a definition with its limits, a nominal, an
// item for the place on the assembly, and a measurement for each reading of each assembly. Definitions, nominals and
// items are shared by assemblies that are made to the same row, measurements never.
//
// Crimp diameters are diameters by two points (ISO 14405-1, modifier LP), insertion depth is a depth, skives are
// lengths, spread and a measured mark are linear values of our own with their meaning in words; confirmations have no
// figure and are attribute characteristics; a proof test is a pressure.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "reports/qif.h"
#include "reports/qif_xml.h"

namespace crimpgate::qif {

// Ids of a file: whole numbers from 1, each once.
class Ids {
  public:
    std::int64_t next() { return ++last_; }
    std::int64_t last() const { return last_; }

  private:
    std::int64_t last_ = 0;
};

// Sentences in both languages, and the record's single words.
class Words {
  public:
    explicit Words(const QifMaker& maker) : maker_(maker) {}
    std::string in(std::string_view language, const Message& message) const;
    std::string both(const Message& message) const;                            // "English / Deutsch"
    std::string word(std::string_view language, std::string_view code) const;  // of "audit.value."

  private:
    const QifMaker& maker_;
};

// Of one assembly, what its measurements point at.
struct Measuring {
    std::int64_t component = 0;
    std::vector<std::int64_t> concessions;         // ids of the events
    std::map<std::int64_t, std::int64_t> devices;  // a gauge's registration to the id of its device
    pugi::xml_node measurements;                   // the list
};

class Characteristics {
  public:
    // `at`: the document's <Characteristics>.
    Characteristics(const CertificateData& data, const QifMaker& maker, Ids& ids, pugi::xml_node at);

    void measured(const CertificateAssembly& assembly, const Measuring& measuring);

  private:
    struct Kind;
    struct Item {
        std::int64_t id = 0;
        std::string element;  // "Diameter": of the names of the elements
    };

    const Item& item_of(const CertificateAssembly& assembly, std::size_t end, const CertificateReading& reading);
    const Item& item_of(const CertificateProofTest& test, std::size_t number);
    std::int64_t nominal_of(const SpecRow& row, const CertificateReading& reading, const Kind& kind);
    void one(const CertificateAssembly& assembly, const CertificateReading& reading, const Item& item,
             const Measuring& measuring);
    void one(const CertificateProofTest& test, const Item& item, const Measuring& measuring);
    void limits(pugi::xml_node definition, const CertificateReading& reading) const;
    pugi::xml_node measurement(const Item& item, const Measuring& measuring);
    void notes(pugi::xml_node at, const CertificateAssembly& assembly, const CertificateReading& reading) const;
    std::string name(std::string_view language, std::string_view what, std::size_t end, std::int64_t flat) const;

    const CertificateData& data_;
    Words words_;
    Ids& ids_;
    pugi::xml_node definitions_, nominals_, items_;
    std::map<std::string, std::int64_t> nominal_ids_;
    std::map<std::string, Item> item_ids_;
    std::map<std::int64_t, const CertificateProof*> proofs_;
};

// "PASS", "FAIL", "INDETERMINATE".
const char* status_of(Verdict verdict);

// "NH-2SC-08 rev 3".
std::string spec_of(const SpecRow& row);

}  // namespace crimpgate::qif
