#include "reports/certificate.h"

#include "reports/barcode.h"

namespace crimpgate {

std::optional<CertificateStatement> certificate_statement(std::string_view word) {
    for (const auto one :
         {CertificateStatement::declaration, CertificateStatement::manner_2_2, CertificateStatement::manner_3_1})
        if (word_of(one) == word) return one;
    return std::nullopt;
}

std::string_view word_of(CertificateStatement statement) {
    switch (statement) {
        case CertificateStatement::declaration:
            return "declaration";
        case CertificateStatement::manner_2_2:
            return "manner_2_2";
        case CertificateStatement::manner_3_1:
            return "manner_3_1";
    }
    return {};
}

std::optional<WorstMargin> worst_margin(const CertificateAssembly& assembly) {
    std::optional<WorstMargin> out;
    for (std::size_t end = 0; end < 2; ++end)
        for (const auto& reading : assembly.ends[end].readings)
            if (reading.margin && (!out || *reading.margin < *out->reading->margin)) out = {end, &reading};
    return out;
}

Result<std::string> certificate_pdf(const CertificateData& data, const CertificatePaper& paper,
                                    const std::string& record) {
    // Read once a process: the fonts are files of the build or the installation and do not change under it.
    static const Result<FontSet> fonts = FontSet::load(FontSet::built_directory());
    if (!fonts) return refuse(fonts.error());
    if (data.link)
        if (const auto code = qr_code(data.link->address); !code) return refuse(code.error());
    const auto drawn = draw_paper(certificate_paper(data, paper, *fonts), *fonts);
    if (!drawn) return drawn;
    PdfAttachment attachment;
    attachment.name = "record.json";
    attachment.type = "application/json";
    attachment.description = audit::said(message("certificate.paper.attachment"), paper.reader);
    attachment.bytes = record;
    return attach_file(*drawn, attachment, paper.reader.language);
}

}  // namespace crimpgate
