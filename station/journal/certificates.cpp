#include "station/journal/certificates.h"

#include "station/journal/database.h"

namespace crimpgate {

Result<boost::json::array> certificates(const Journal& journal, const std::string& serial, std::int64_t limit) {
    return guarded([&] {
        if (serial.empty())
            return journal.database().rows("SELECT * FROM certificates ORDER BY seq DESC LIMIT ?", limit);
        return journal.database().rows(
            "SELECT c.* FROM certified s JOIN certificates c USING(certificate) WHERE s.serial = ? "
            "ORDER BY c.seq DESC LIMIT ?",
            serial, limit);
    });
}

Result<boost::json::object> certificate(const Journal& journal, const std::string& number) {
    return guarded([&]() -> Result<boost::json::object> {
        auto found = journal.database().rows("SELECT * FROM certificates WHERE certificate = ?", number);
        if (found.empty()) return refuse(message("certificate.no_number").with("number", number));
        return std::move(found.front().as_object());
    });
}

}  // namespace crimpgate
