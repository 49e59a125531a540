// A file inside a PDF, as an associated file (ISO 32000-2, 14.13; the manner of PDF/A-3): an embedded file stream with
// its type, size and checksum, a file specification with /UF and /AFRelationship /Data, both in the catalog's /Names
// and in its /AF. What readers list as an attachment comes out of them byte for byte.
//
// Through libqpdf, which writes the whole file anew: libharu's own call leaves a file specification that other programs
// warn about, and maps from codes to characters that they warn about too; those are mended. No date is written and the
// file's identifier comes from its content, so the same gives the same bytes.
#pragma once

#include <string>

#include "specs/message.h"

namespace crimpgate {

struct PdfAttachment {
    std::string name;         // "record.json"
    std::string type;         // "application/json"
    std::string description;  // for whoever looks at the list of attachments
    std::string bytes;
};

// The PDF with the attachment in it and the language of its texts ("en", "de") in its catalog. "certificate.pdf_failed"
// (reason) when the PDF is none.
Result<std::string> attach_file(const std::string& pdf, const PdfAttachment& attachment, const std::string& language);

}  // namespace crimpgate
