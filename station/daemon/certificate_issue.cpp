#include "station/daemon/certificate_issue.h"

#include <algorithm>

#include "station/daemon/certificate_data.h"
#include "station/daemon/evidence_source.h"
#include "station/daemon/local_time.h"

namespace crimpgate {

namespace {

constexpr std::size_t most_named = 12;

std::string printed(const CertificateIssuer& issuer, const std::string& person) {
    const auto found = issuer.names.find(person);
    return found == issuer.names.end() || found->second.empty() ? person : found->second + " (" + person + ")";
}

CertificatePaper paper_for(const CertificateAsked& asked, const CertificateIssuer& issuer) {
    CertificatePaper out;
    out.size = asked.paper;
    out.inches = issuer.inches;
    out.reader.language = asked.language;
    if (issuer.say)
        out.reader.say = [language = asked.language, say = issuer.say](const Message& m) { return say(language, m); };
    if (!issuer.time_zone.empty())
        out.reader.local_time = [zone = issuer.time_zone](std::int64_t ms) { return local_time_text(ms, zone); };
    return out;
}

}  // namespace

Result<void> nothing_in_the_way(const CertificateSubject& subject) {
    if (subject.in_way.empty()) return {};
    std::string some;
    for (std::size_t i = 0; i < std::min(subject.in_way.size(), most_named); ++i)
        some += (some.empty() ? "" : ", ") + subject.in_way[i].first;
    if (subject.in_way.size() > most_named) some += ", ...";
    return refuse(message("certificate.in_the_way")
                      .with("count", std::to_string(subject.in_way.size()))
                      .with("of", std::to_string(subject.serials.size()))
                      .with("serials", some));
}

Result<MadeCertificate> make_certificate(const Journal& journal, const CertificateAsked& asked,
                                         const CertificateIssuer& issuer, const KeptCheckpoint& checkpoint) {
    const auto subject = certificate_subject(journal, asked.subject, asked.id);
    if (!subject) return refuse(subject.error());
    if (auto clear = nothing_in_the_way(*subject); !clear) return refuse(std::move(clear.error()));
    if (asked.statement == CertificateStatement::manner_3_1 && !asked.independent)
        return refuse(message("certificate.not_independent"));

    auto gathered = evidence_of(journal, subject->serials, subject->customer, checkpoint);
    if (!gathered) return refuse(std::move(gathered.error()));
    if (asked.independent && measured_any(gathered->entries, issuer.person))
        return refuse(message("certificate.releaser_measured").with("person", printed(issuer, issuer.person)));
    CertificateGathering gathering;
    gathering.serials = subject->serials;
    gathering.name_of = [&issuer](const std::string& person) { return printed(issuer, person); };
    auto data = certificate_data(gathered->entries, gathering);
    // The views say that it passed; entries up to the checkpoint that do not are older than that.
    if (!data && (data.error().code == "certificate.not_passed"))
        return refuse(message("certificate.not_covered").with("serial", data.error().detail("serial")));
    if (!data) return refuse(std::move(data.error()));

    MadeCertificate out;
    out.evidence = write_evidence(gathered->evidence);
    data->number = issuer.number;
    data->statement = asked.statement;
    data->shop = issuer.shop;
    data->address = issuer.address;
    data->place = issuer.place;
    data->station = issuer.station;
    data->customer = subject->customer;
    data->subject = subject->kind;
    data->subject_id = subject->id;
    data->delivery_note = subject->note_number;
    data->delivered = subject->date;
    data->ordered = subject->ordered;
    data->releaser = printed(issuer, issuer.person);
    data->function = asked.function;
    data->independent = asked.independent;
    data->issued_ms = issuer.now_ms;
    data->issued_date = issuer.time_zone.empty() ? "" : local_date(issuer.now_ms, issuer.time_zone);
    data->record_sha256 = to_hex(sha256(out.evidence));
    data->log_name = gathered->evidence.name;
    data->log_key = gathered->evidence.key;
    data->log_root = checkpoint.root;
    data->log_size = checkpoint.size;
    data->link = asked.link;
    auto pdf = certificate_pdf(*data, paper_for(asked, issuer), out.evidence);
    if (!pdf) return refuse(std::move(pdf.error()));
    out.pdf = std::move(*pdf);

    auto& issued = out.issued;
    issued.certificate = issuer.number;
    issued.subject = subject->kind;
    issued.subject_id = subject->id;
    issued.customer = subject->customer;
    issued.serials = subject->serials;
    issued.statement = std::string(word_of(asked.statement));
    issued.releaser = data->releaser;
    issued.function = asked.function;
    issued.independent = asked.independent;
    issued.paper = asked.paper == PaperSize::letter ? "letter" : "a4";
    issued.language = asked.language;
    issued.evidence_sha256 = data->record_sha256;
    issued.checkpoint_size = checkpoint.size;
    return out;
}

}  // namespace crimpgate
