// The folder of gauge profiles that a line may be given at run time: each file named after its profile's id.
//
// What is in force of a profile is its file's bytes, so everything here goes with their SHA-256. The folder is read
// anew each time: a file that was added is there without a restart.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "drivers/profile.h"

namespace crimpgate {

struct KnownProfile {
    Profile profile;
    std::string sha256;  // of the file's bytes
};

// One file, wherever it is. "config.profile_unreadable" (file), or what parse_profile says, with the file's name.
Result<KnownProfile> read_profile(const std::string& file);

class ProfileFolder {
  public:
    // Empty: the folder that comes with the program.
    explicit ProfileFolder(std::string folder = {});

    // "gauge.no_profile" (profile) when there is none of that id, or what is wrong with its file.
    Result<KnownProfile> find(std::string_view id) const;

    struct Listed {
        std::string file;  // its name in the folder
        Result<KnownProfile> known;
    };
    // Every .toml file by name, also those that cannot be used, with the reason.
    std::vector<Listed> all() const;

  private:
    Result<KnownProfile> from_file(const std::filesystem::path& file) const;

    std::filesystem::path folder_;
};

}  // namespace crimpgate
