#include "drivers/profile_file.h"

#include <cerrno>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <system_error>

namespace crimpgate {

namespace {
constexpr std::size_t largest_file = 1'000'000;  // recordings included; the ones we ship are below 20 kB
}

Result<Profile> load_profile(const std::string& file) {
    std::error_code ec;
    const bool regular = std::filesystem::is_regular_file(file, ec);
    if (!ec && !regular) ec = std::make_error_code(std::errc::no_such_file_or_directory);
    if (!ec && std::filesystem::file_size(file, ec) > largest_file)
        ec = std::make_error_code(std::errc::file_too_large);
    std::string text;
    if (!ec) {
        std::ifstream in(file, std::ios::binary);
        if (in) text.assign(std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>());
        if (!in) ec = std::error_code(errno, std::generic_category());
    }
    if (ec) return refuse(message("profile.file_unreadable").with("file", file).with("reason", ec.message()));

    auto profile = parse_profile(text);
    if (!profile) return refuse(Message(profile.error()).with("file", file));
    const std::string stem = std::filesystem::path(file).stem().string();
    if (profile->id != stem)
        return refuse(message("profile.id_is_not_file_name")
                          .with("file", file)
                          .with("found", profile->id)
                          .with("expected", stem));
    return profile;
}

}  // namespace crimpgate
