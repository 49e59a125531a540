// What an answer behind a customer's link says, wherever in it.
#pragma once

#include <string>

#include "tests/reports/outside.h"
#include "tools/client/api_client.h"

namespace crimpgate::test {

// All of it: its headers, its body and, of a PDF, its text and what is attached to it.
inline std::string everything(const ApiReply& reply) {
    std::string out = reply.text;
    for (const auto& [name, value] : reply.headers)
        out += "\n" + name + ": " + value;
    if (reply.header("content-type") == "application/pdf") {
        const outside::PdfFile file(reply.text);
        out += file.text() + outside::run("qpdf --show-attachment=record.json " + file.path()).out;
    }
    return out;
}

inline bool holds(const std::string& text, const std::string& word) {
    return text.find(word) != std::string::npos;
}

}  // namespace crimpgate::test
