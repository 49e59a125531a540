// A copy of a journal that is whole, checked and on the disk before it gets its name: copying the file itself would
// leave out what still stands in its write-ahead log.
#include <system_error>

#include "station/journal/state.h"

namespace crimpgate {
namespace {

// Opens the copy as a stranger would and reads every page of it.
Result<void> check_copy(const std::filesystem::path& copy, std::int64_t entries) {
    Database database(copy, Database::Access::read, "");
    const auto answer = database.text("PRAGMA integrity_check(1)");
    if (answer != "ok")
        return refuse(message("backup.damaged").with("file", copy.string()).with("why", answer.value_or("no answer")));
    const auto found = database.number("SELECT count(*) FROM entries");
    if (found < entries)
        return refuse(message("backup.damaged")
                          .with("file", copy.string())
                          .with("why", std::to_string(found) + " of " + std::to_string(entries) + " entries"));
    return {};
}

}  // namespace

Result<void> copy_to(Database& database, const std::filesystem::path& to) {
    std::error_code unimportant;
    if (std::filesystem::exists(to, unimportant)) return refuse(message("backup.exists").with("file", to.string()));
    auto part = to;
    part += ".part";
    std::filesystem::remove(part, unimportant);  // of a copy that was cut short
    const auto attempt = guarded([&]() -> Result<void> {
        const auto entries = database.number("SELECT count(*) FROM entries");
        database.run("VACUUM INTO ?", part.string());
        if (auto sound = check_copy(part, entries); !sound) return sound;
        if (auto flushed = flush(part); !flushed) return flushed;
        if (auto named = rename_new(part, to); !named) return named;
        return flush(std::filesystem::absolute(to).parent_path());
    });
    if (attempt) return {};
    std::filesystem::remove(part, unimportant);
    Message why = attempt.error();
    if (why.code.starts_with("journal."))
        return refuse(message("backup.failed")
                          .with("file", to.string())
                          .with("why", why.code + ": " + std::string(why.detail("why"))));
    return refuse(std::move(why));
}

}  // namespace crimpgate
