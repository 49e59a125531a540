#include "station/http/results_file.h"

#include "reports/qif.h"
#include "station/daemon/certificate_data.h"
#include "station/http/page_words.h"
#include "station/journal/checkpoints.h"
#include "station/journal/evidence_entries.h"
#include "station/proof/evidence.h"
#include "station/proof/hash.h"

namespace crimpgate {

namespace {

Result<std::string> written(const Journal& journal, CertificateData data, const std::string& customer,
                            const ResultsMaker& maker) {
    const auto space = uuid_space(journal);
    if (!space) return refuse(space.error());
    data.shop = maker.shop;
    data.address = maker.address;
    data.station = journal.station();
    data.customer = customer;
    QifMaker qif;
    qif.uuid = [&space](const std::string& kind, const std::string& id) { return named_uuid(*space, kind, id); };
    qif.say = [](std::string_view language, const Message& said) { return say_in(language, said); };
    return qif_xml(data, qif);
}

// R1: nothing to hand out while one of them is in question.
Result<CertificateData> as_it_stands(const Journal& journal, const std::vector<std::string>& serials,
                                     const std::string& customer, const ResultsMaker& maker) {
    const auto last = journal.last_seq();
    if (!last) return refuse(last.error());
    const auto entries = evidence_entries(journal, serials, customer, *last);
    if (!entries) return refuse(entries.error());
    auto data = certificate_data(*entries, {serials, maker.name_of});
    if (!data && data.error().code == "certificate.not_passed")
        return refuse(message("trace_page.no_results").with("serial", data.error().detail("serial")));
    return data;
}

}  // namespace

std::string named_uuid(const std::string& space, const std::string& kind, const std::string& id) {
    auto hex = to_hex(sha256(space + "\n" + kind + "\n" + id)).substr(0, 32);
    hex[12] = '8';
    constexpr std::string_view variants = "89ab";
    hex[16] = variants[static_cast<std::size_t>(hex[16] >= 'a' ? hex[16] - 'a' + 10 : hex[16] - '0') & 3U];
    return hex.substr(0, 8) + "-" + hex.substr(8, 4) + "-" + hex.substr(12, 4) + "-" + hex.substr(16, 4) + "-" +
           hex.substr(20);
}

Result<std::string> uuid_space(const Journal& journal) {
    const auto keys = station_keys(journal);
    if (!keys) return refuse(keys.error());
    return keys->empty() ? journal.station() : keys->front().key;
}

Result<std::string> results_of(const Journal& journal, const std::string& serial, const std::string& customer,
                               const ResultsMaker& maker) {
    auto data = as_it_stands(journal, {serial}, customer, maker);
    if (!data) return refuse(std::move(data.error()));
    return written(journal, std::move(*data), customer, maker);
}

Result<std::string> results_of_certificate(const Journal& journal, const std::string& evidence,
                                           const std::string& certificate, const std::string& customer,
                                           std::int64_t issued_ms, const ResultsMaker& maker) {
    const auto kept = read_evidence(evidence);
    if (!kept) return refuse(kept.error());
    // The paper speaks of its day; a file that is made now and read by machines must not call passed what is no more.
    if (auto stands = as_it_stands(journal, kept->serials, customer, maker); !stands) return refuse(stands.error());
    std::vector<Entry> entries;
    for (const auto& one : kept->entries) {
        auto entry = read_entry(one.bytes);
        if (!entry) return refuse(std::move(entry.error()));
        entries.push_back(std::move(*entry));
    }
    auto data = certificate_data(entries, {kept->serials, maker.name_of});
    if (!data) return refuse(std::move(data.error()));
    data->number = certificate;
    data->issued_ms = issued_ms;
    return written(journal, std::move(*data), customer, maker);
}

}  // namespace crimpgate
