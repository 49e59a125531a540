// A file that is attached to a PDF, as readers list it: the other way of pdf_attachment.h.
#pragma once

#include <string>

#include "specs/message.h"

namespace crimpgate {

// Its bytes. "pdf.unreadable" (reason) when the PDF is none, "pdf.not_attached" (name) when it has no such file.
Result<std::string> attached_file(const std::string& pdf, const std::string& name);

}  // namespace crimpgate
