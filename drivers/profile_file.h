// A profile from its file on disk: drivers/profiles/<id>.toml or a shop's own.
#pragma once

#include <string>

#include "drivers/profile.h"

namespace crimpgate {

// parse_profile's refusals with the file's name added (detail "file"); profile.file_unreadable (file, reason);
// profile.id_is_not_file_name (file, found, expected): the id is what configurations and records name, so both agree.
Result<Profile> load_profile(const std::string& file);

}  // namespace crimpgate
