#include "reports/pdf_attached.h"

// No old pointer class of the library is used; it asks to be told so.
#define POINTERHOLDER_TRANSITION 4

#include <qpdf/QPDF.hh>
#include <qpdf/QPDFEFStreamObjectHelper.hh>
#include <qpdf/QPDFEmbeddedFileDocumentHelper.hh>
#include <qpdf/QPDFFileSpecObjectHelper.hh>

#include <exception>

namespace crimpgate {

Result<std::string> attached_file(const std::string& pdf, const std::string& name) {
    try {
        QPDF file;
        file.setSuppressWarnings(true);
        file.processMemoryFile("pdf", pdf.data(), pdf.size());
        const auto specification = QPDFEmbeddedFileDocumentHelper(file).getEmbeddedFile(name);
        if (!specification) return refuse(message("pdf.not_attached").with("name", name));
        const auto bytes = specification->getEmbeddedFileStream().getStreamData(qpdf_dl_generalized);
        return std::string(reinterpret_cast<const char*>(bytes->getBuffer()), bytes->getSize());
    } catch (const std::exception& error) {
        return refuse(message("pdf.unreadable").with("reason", error.what()));
    }
}

}  // namespace crimpgate
