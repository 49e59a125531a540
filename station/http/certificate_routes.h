// Certificates over HTTP: a lead issues, the office lists and fetches.
#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "station/http/routes.h"
#include "station/journal/checkpoints.h"

namespace crimpgate {

// What the station lends for it.
struct CertificateParts {
    std::string address{}, place{};  // of the issuer; may be empty
    std::string link{};              // where customers reach the station, "https://tags.shop.example"; may be empty
    std::filesystem::path folder{};  // where issued files are kept; empty: "certificates" beside the journal
    // Signs the record's head, so that the certificate's entries are under it. Null: the newest checkpoint that there
    // is has to do.
    std::function<Result<KeptCheckpoint>(const std::string& cause, const std::string& who)> sign{};
    // Seals a paper with the station's key (station/proof/paper_seal.h). Null: a station without a key issues none.
    std::function<std::string(std::string paper, const std::string& number)> seal{};
};

std::vector<Route> certificate_routes();

}  // namespace crimpgate
