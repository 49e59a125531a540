// What a Journal holds, for the files of this folder that make it up.
#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <string>

#include "station/journal/database.h"
#include "station/journal/files.h"
#include "station/journal/journal.h"
#include "station/proof/merkle.h"

namespace crimpgate {

struct Journal::State {
    std::filesystem::path file;
    std::string station;
    JournalAccess access = JournalAccess::read;
    std::optional<LockFile> lock;  // let go after the data base is closed
    std::unique_ptr<Database> database;
    std::optional<Message> broken;
    std::optional<Frontier> frontier;  // of the entries on the disk; nothing: not asked for yet
};

// A whole, checked copy of the data base under a name that is not taken (backup.cpp). Throws SQLite::Exception.
Result<void> copy_to(Database& database, const std::filesystem::path& to);

}  // namespace crimpgate
