#include "reports/pdf_attachment.h"

// No old pointer class of the library is used; it asks to be told so.
#define POINTERHOLDER_TRANSITION 4

#include <qpdf/QPDF.hh>
#include <qpdf/QPDFEFStreamObjectHelper.hh>
#include <qpdf/QPDFEmbeddedFileDocumentHelper.hh>
#include <qpdf/QPDFFileSpecObjectHelper.hh>
#include <qpdf/QPDFWriter.hh>

#include <exception>

namespace crimpgate {

namespace {

// libharu maps its codes to characters with the operators of another kind of map, which poppler warns about. Its codes
// are the characters themselves (UTF-16), so the right map says that: 256 ranges, since none may leave its first byte,
// at most 100 a block (ISO 32000-1, 9.10.3).
std::string identity_map() {
    constexpr const char* digits = "0123456789ABCDEF";
    std::string out =
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
        "/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n"
        "1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n";
    for (int from = 0; from < 256; from += 64) {
        out += "64 beginbfrange\n";
        for (int high = from; high < from + 64; ++high) {
            const std::string first = {digits[high / 16], digits[high % 16]};
            out += "<" + first + "00> <" + first + "FF> <" + first + "00>\n";
        }
        out += "endbfrange\n";
    }
    return out + "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n";
}

void mend_maps(QPDF& file) {
    for (auto& object : file.getAllObjects()) {
        if (!object.isDictionary() || !object.getKey("/ToUnicode").isStream()) continue;
        auto map = object.getKey("/ToUnicode");
        map.replaceStreamData(identity_map(), QPDFObjectHandle::newNull(), QPDFObjectHandle::newNull());
        for (const auto* key : {"/CMapName", "/CIDSystemInfo", "/WMode", "/Type"})
            map.getDict().removeKey(key);
    }
}

}  // namespace

Result<std::string> attach_file(const std::string& pdf, const PdfAttachment& attachment, const std::string& language) {
    try {
        QPDF file;
        file.setSuppressWarnings(true);
        file.processMemoryFile("certificate", pdf.data(), pdf.size());
        if (file.anyWarnings()) return refuse(message("certificate.pdf_failed").with("reason", "libqpdf warns"));

        mend_maps(file);
        auto stream = QPDFEFStreamObjectHelper::createEFStream(file, attachment.bytes);
        stream.setSubtype(attachment.type);
        auto specification = QPDFFileSpecObjectHelper::createFileSpec(file, attachment.name, stream);
        specification.setDescription(attachment.description);
        auto object = specification.getObjectHandle();
        object.replaceKey("/AFRelationship", QPDFObjectHandle::newName("/Data"));
        QPDFEmbeddedFileDocumentHelper(file).replaceEmbeddedFile(attachment.name, specification);
        auto catalog = file.getRoot();
        auto associated = QPDFObjectHandle::newArray();
        associated.appendItem(object);
        catalog.replaceKey("/AF", associated);
        catalog.replaceKey("/Lang", QPDFObjectHandle::newUnicodeString(language));

        QPDFWriter writer(file);
        writer.setOutputMemory();
        writer.setMinimumPDFVersion("1.7");
        writer.setDeterministicID(true);
        writer.write();
        const auto written = writer.getBufferSharedPointer();
        return std::string(reinterpret_cast<const char*>(written->getBuffer()), written->getSize());
    } catch (const std::exception& error) {
        return refuse(message("certificate.pdf_failed").with("reason", error.what()));
    }
}

}  // namespace crimpgate
