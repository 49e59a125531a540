// An invented shop's certificates for the tests of this folder.
#pragma once

#include <string>

#include "reports/certificate.h"

namespace crimpgate::samples {

// That many assemblies of one order, every seventh of them (from the seventh on) on concession with a depth that is
// too short.
CertificateData certificate(std::size_t assemblies);

// Sentences in that language out of the catalogue's file.
CertificatePaper certificate_paper(PaperSize size, const std::string& language);

}  // namespace crimpgate::samples
