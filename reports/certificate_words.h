// What a certificate says in sentences and single words; the sentences are the catalogue's, "certificate.paper.*".
#pragma once

#include <string>
#include <vector>

#include "reports/certificate.h"
#include "specs/shown_length.h"

namespace crimpgate::certificate_words {

struct Labelled {
    std::string label, value;
};

// Says in the reader's language, lengths in the paper's unit.
class Words {
  public:
    Words(const CertificateData& data, const CertificatePaper& paper) : data_(data), paper_(paper) {}

    std::string say(const Message& message) const { return audit::said(message, paper_.reader); }

    std::string title() const;
    std::string manner() const;  // which standard it is in the manner of, and why no type is claimed
    std::vector<Labelled> head() const;
    // What was let through, one line an assembly; of more than `most` the last line says how many more there are.
    std::string concession_title() const;
    std::vector<std::string> concessions(std::size_t most) const;
    std::vector<std::string> statement() const;
    std::vector<std::string> requirements() const;
    std::vector<std::string> rules() const;  // decision rules in words, and what each means
    std::vector<std::string> limitations() const;
    std::string caution() const;
    std::vector<Labelled> record() const;
    std::string link() const;         // what its address shows, and how long
    std::string link_holder() const;  // who can see it
    std::string released() const;
    std::vector<Labelled> item(const CertificateItem& item) const;
    std::string item_title(std::size_t number, std::size_t count) const;
    std::string foot() const;
    std::string page_of(std::size_t page, std::size_t pages) const;

    // Figures and single words, as tables take them.
    std::string time(std::int64_t ms) const;
    std::string figure(std::string text) const { return audit::shown_number(text, paper_.reader); }
    std::string length(Length value, Length resolution = {}) const;  // exact in mm
    std::string unit() const { return paper_.inches ? "in" : "mm"; }
    std::string bar(Pressure pressure) const;
    std::string what(const CertificateReading& reading) const;
    std::string value(const CertificateReading& reading) const;
    std::string verdict(const CertificateReading& reading) const;
    std::string verdict(const CertificateAssembly& assembly) const;
    std::string word(std::string_view code) const;  // of "audit.value."
    std::string end(std::size_t index) const { return word(index == 0 ? "a" : "b"); }
    LengthUnit length_unit() const { return paper_.inches ? LengthUnit::inch : LengthUnit::mm; }

  private:
    std::string rule_text(const DecisionRule& rule) const;
    std::string hose(const SpecRow& row) const;
    std::string fitting(const SpecRow& row) const;
    std::size_t conceded() const;

    const CertificateData& data_;
    const CertificatePaper& paper_;
};

}  // namespace crimpgate::certificate_words
