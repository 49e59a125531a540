// Where a command's answers come from: a journal's file, or a station that is running.
//
// Both give the JSON of station/journal/queries.h, so that a command is written once. Refusals are the journal's or the
// station's own, word for word; "client.*" when the station cannot be reached.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "specs/serial.h"
#include "station/daemon/audit_source.h"
#include "station/daemon/recall_source.h"
#include "station/entries/shop_entries.h"
#include "tools/cli/command_line.h"

namespace crimpgate::cli {

// Of a recall's letters.
struct LetterAsked {
    std::string recall;  // its number; empty: from a file, not entered in the record
    std::string reason;
    std::string shop;
    std::string language = "en";
    PaperSize size = PaperSize::a4;
};

class Source {
  public:
    virtual ~Source() = default;

    virtual Result<boost::json::array> orders() = 0;
    virtual Result<boost::json::array> holds(bool all) = 0;
    virtual Result<boost::json::object> trace(const Serial& serial) = 0;
    // From that number on, at most `limit` (1000 or less), each with its members and its "hash" where the source knows
    // it. Of people nothing but number, type and hash: PIN hashes have no business on a screen.
    virtual Result<boost::json::array> entries(std::int64_t from, std::int64_t limit) = 0;
    // {"sound", "entries", "damage": {"code", "details", "words"}, "damaged_seq"}
    virtual Result<boost::json::object> verify() = 0;
    // As GET /api/audit answers: audit_json of what is wanted. It says what verify() found, if that was asked before.
    virtual Result<boost::json::object> audit(const AuditWanted& wanted) = 0;
    // In which the shop reads lengths: the last limits.set of the journal, or what the station's configuration says; a
    // journal's file alone without one says millimetres.
    virtual Result<ShownUnit> shown_unit() = 0;
    // As GET /api/recall answers, with so many rows at most.
    virtual Result<RecallMade> recall(const RecallWanted& wanted, std::size_t most_rows) = 0;
    // Writes it down; its number. "cli.needs_station" from a journal's file.
    virtual Result<std::string> draw_recall(const RecallWanted& wanted, const std::string& reason) = 0;
    // The letter to one customer of the list, as PDF: from a station of the drawn recall, from a file of what was
    // found.
    virtual Result<std::string> recall_letter(const RecallMade& made, const LetterAsked& asked,
                                              const std::string& customer) = 0;
    virtual Result<boost::json::array> deliveries() = 0;
    virtual Result<boost::json::object> delivery(const std::string& number) = 0;
    // The body of POST /api/deliveries, or of /api/deliveries/take-back; `reasons` of a refusal, one by one.
    // "cli.needs_station" from a journal's file.
    virtual Result<void> send_delivery(const boost::json::object& body, bool back,
                                       std::vector<std::string>& reasons) = 0;
    // Customers' links, as GET /api/links lists them; made and revoked as POST /api/links and /api/links/revoke do.
    // "cli.needs_station" from a journal's file, for the latter two.
    virtual Result<boost::json::array> links() = 0;
    virtual Result<boost::json::object> make_link(const boost::json::object& body) = 0;
    virtual Result<void> revoke_link(const boost::json::object& body) = 0;
    virtual Result<void> rebuild_views() = 0;
    virtual Result<void> back_up(const std::string& whole_path) = 0;
};

// The options that name a source: --journal FILE, or --station http://127.0.0.1:PORT --person ID [--pin-file FILE].
inline constexpr std::string_view source_options[] = {"--journal", "--station", "--person", "--pin-file"};

enum class Access { read, write };

// Opens the file or signs in at the station. Sets `wrong` when it is how the command was written that is wrong.
Result<std::unique_ptr<Source>> open_source(const CommandLine& line, Access access, bool& wrong);

// The two kinds, for open_source alone.
Result<std::unique_ptr<Source>> journal_source(const std::string& file, Access access);
Result<std::unique_ptr<Source>> station_source(const std::string& address, std::uint16_t port,
                                               const std::string& person, const std::string& pin);

}  // namespace crimpgate::cli
