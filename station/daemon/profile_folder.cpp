#include "station/daemon/profile_folder.h"

#include <algorithm>
#include <fstream>
#include <iterator>

#include "station/people/pins.h"

namespace crimpgate {

namespace fs = std::filesystem;

Result<KnownProfile> read_profile(const std::string& file) {
    std::ifstream in(file, std::ios::binary);
    const std::string text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
    if (!in.is_open() || in.bad()) return refuse(message("config.profile_unreadable").with("file", file));
    auto profile = parse_profile(text);
    if (!profile) return refuse(std::move(profile.error()).with("file", file));
    return KnownProfile{std::move(*profile), sha256_hex(text)};
}

ProfileFolder::ProfileFolder(std::string folder)
    : folder_(folder.empty() ? std::string(CRIMPGATE_PROFILES_DIRECTORY) : std::move(folder)) {}

Result<KnownProfile> ProfileFolder::from_file(const fs::path& file) const {
    auto known = read_profile(file.string());
    if (!known) return known;
    if (known->profile.id != file.stem().string())
        return refuse(message("profile.id_is_not_file_name")
                          .with("file", file.string())
                          .with("found", known->profile.id)
                          .with("expected", file.stem().string()));
    return known;
}

Result<KnownProfile> ProfileFolder::find(std::string_view id) const {
    // An id is a file's name and nothing else of a path.
    const bool proper = !id.empty() && std::all_of(id.begin(), id.end(), [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_';
    });
    const auto file = folder_ / (std::string(id) + ".toml");
    std::error_code ec;
    if (!proper || !fs::exists(file, ec)) return refuse(message("gauge.no_profile").with("profile", id));
    return from_file(file);
}

std::vector<ProfileFolder::Listed> ProfileFolder::all() const {
    std::vector<fs::path> files;
    std::error_code ec;
    for (fs::directory_iterator it(folder_, ec), end; !ec && it != end; it.increment(ec))
        if (it->path().extension() == ".toml") files.push_back(it->path());
    std::sort(files.begin(), files.end());
    std::vector<Listed> out;
    for (const auto& file : files)
        out.push_back({file.filename().string(), from_file(file)});
    return out;
}

}  // namespace crimpgate
