#include "station/daemon/tag_outbox.h"

#include <fcntl.h>
#include <unistd.h>

#include <cstring>

#include "station/daemon/local_time.h"
#include "station/people/pins.h"

namespace crimpgate {

namespace {

tl::unexpected<Message> file_failed(const std::filesystem::path& file) {
    return refuse(message("tag.file_failed").with("file", file.string()).with("said", std::strerror(errno)));
}

bool sync_path(const std::filesystem::path& path) {
    const int fd = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
    if (fd < 0) return false;
    const bool good = ::fsync(fd) == 0;
    ::close(fd);
    return good;
}

}  // namespace

std::optional<TagSize> tag_size_of(std::string_view word) {
    if (word == "100x150") return TagSize::mm100x150;
    if (word == "100x50") return TagSize::mm100x50;
    if (word == "a6") return TagSize::a6;
    return std::nullopt;
}

TagSettings settings_in_force(const TagSettings& configured, const BenchState& state) {
    TagSettings settings = configured;
    if (!state.printer) return settings;
    settings.printer_name = state.printer->printer;
    settings.size = tag_size_of(state.printer->size).value_or(configured.size);
    settings.dpi = static_cast<int>(state.printer->dpi);
    return settings;
}

TagOutbox::TagOutbox(Desk& desk, const FontSet& fonts, TagSettings settings, MakePrinter make_printer,
                     Elsewhere elsewhere)
    : desk_(desk),
      fonts_(fonts),
      settings_(std::move(settings)),
      make_printer_(std::move(make_printer)),
      elsewhere_(std::move(elsewhere)) {
    if (!elsewhere_) elsewhere_ = [](const Handover& hand_over, const Then& then) { then(hand_over()); };
}

void TagOutbox::sign_with(const SigningKey& tag_key, std::string link) {
    settings_.tag_key = &tag_key;
    settings_.link = std::move(link);
}

Result<void> TagOutbox::recover() {
    std::error_code failed_to_make;
    std::filesystem::create_directories(settings_.folder, failed_to_make);
    if (failed_to_make)
        return refuse(
            message("tag.file_failed").with("file", settings_.folder.string()).with("said", failed_to_make.message()));
    struct Open {
        std::string serial;
        std::int64_t copy;
        bool to_printer;
        std::string file;
    };
    std::vector<Open> open;
    for (const auto& [serial, a] : desk_.state().assemblies)
        if (a.tag == TagState::printing) open.push_back({serial, a.tag_copy, !a.tag_printer.empty(), a.tag_file});
    for (const auto& job : open) {
        if (job.to_printer) {
            desk_.run(commands::RecordTag{entries::TagInDoubt{job.serial, job.copy}}, {});
            continue;
        }
        const auto& a = desk_.state().assemblies.at(job.serial);
        const auto settings = settings_in_force(settings_, desk_.state());
        const auto tag = tag_of(desk_.state(), a, settings, desk_.rules().station,
                                local_date(a.passed_utc_ms, desk_.time_zone()), job.copy);
        const auto pdf = render_tag(tag, settings.size, fonts_, settings.dpi);
        if (!pdf) {
            failed(job.serial, job.copy, pdf.error(), {});
        } else if (auto written = write_file(job.file, *pdf); !written) {
            failed(job.serial, job.copy, written.error(), {});
        } else {
            desk_.run(commands::RecordTag{entries::TagPrinted{job.serial, job.copy, {}}}, {});
        }
    }
    work();
    return {};
}

void TagOutbox::work() {
    for (const auto& serial : tags_due(desk_.state())) {
        const auto& a = desk_.state().assemblies.at(serial);
        const bool outdated = tag_outdated(a);
        make(serial, outdated ? a.tag_copy + 1 : 0, outdated ? "passed_again" : "", {});
    }
}

Ran TagOutbox::reprint(const std::string& serial, const std::string& reason, const std::string& who) {
    const auto found = desk_.state().assemblies.find(serial);
    if (found == desk_.state().assemblies.end()) return Ran{{}, message("bench.no_serial").with("serial", serial)};
    const auto& a = found->second;
    // A tag that was never there is printed under its own number; one that was, under the next.
    const bool again = a.tag == TagState::failed || a.tag == TagState::none;
    return make(serial, again ? a.tag_copy : a.tag_copy + 1, reason, who);
}

Ran TagOutbox::retry(const std::string& who) {
    std::vector<std::string> serials;
    for (const auto& [serial, a] : desk_.state().assemblies)
        if (a.tag == TagState::failed && a.stage == Stage::passed) serials.push_back(serial);
    Ran ran;
    for (const auto& serial : serials) {
        const auto copy = desk_.state().assemblies.at(serial).tag_copy;
        auto one = make(serial, copy, copy == 0 ? "" : "tried_again", who);
        for (auto& entry : one.entries)
            ran.entries.push_back(std::move(entry));
        if (one.refusal && !ran.refusal) ran.refusal = std::move(one.refusal);
    }
    // Some could be made: whoever asked sees by the bench's list which could not.
    if (!ran.entries.empty()) ran.refusal.reset();
    return ran;
}

Ran TagOutbox::make(const std::string& serial, std::int64_t copy, const std::string& reason, const std::string& who) {
    const auto& a = desk_.state().assemblies.at(serial);
    const auto settings = settings_in_force(settings_, desk_.state());
    const auto tag =
        tag_of(desk_.state(), a, settings, desk_.rules().station, local_date(a.passed_utc_ms, desk_.time_zone()), copy);
    const auto pdf = render_tag(tag, settings.size, fonts_, settings.dpi);

    entries::TagPrinting printing;
    printing.serial = serial;
    printing.copy = copy;
    printing.reason = reason;
    if (pdf) printing.pdf_sha256 = sha256_hex(*pdf);
    printing.file = serial + (copy == 0 ? "" : "-reprint-" + std::to_string(copy)) + ".pdf";
    printing.printer = settings.printer_name;
    Ran ran = desk_.run(commands::RecordTag{printing}, who);
    if (ran.refusal) return ran;
    auto follow = [&](Ran more) {
        for (auto& entry : more.entries)
            ran.entries.push_back(std::move(entry));
        ran.refusal = std::move(more.refusal);
        return std::move(ran);
    };
    if (!pdf) return follow(failed(serial, copy, pdf.error(), who));
    if (auto written = write_file(printing.file, *pdf); !written)
        return follow(failed(serial, copy, written.error(), who));
    if (settings.printer_name.empty())
        return follow(desk_.run(commands::RecordTag{entries::TagPrinted{serial, copy, {}}}, who));

    const auto format = tag_format(settings.size);
    PrintJob job;
    job.file = (settings.folder / printing.file).string();
    job.title = "crimpgate " + serial + (copy == 0 ? "" : " reprint " + std::to_string(copy));
    job.width_mm = static_cast<std::int64_t>(format.width);
    job.height_mm = static_cast<std::int64_t>(format.height);
    const auto at_once = std::make_shared<std::optional<Ran>>();
    elsewhere_([printer = make_printer_(settings.printer_name), job] { return printer->print(job); },
               [this, serial, copy, who, at_once](Result<std::string> done) {
                   *at_once = handed_over(serial, copy, std::move(done), who);
               });
    if (*at_once) return follow(std::move(**at_once));
    return ran;
}

Ran TagOutbox::handed_over(const std::string& serial, std::int64_t copy, Result<std::string> job,
                           const std::string& who) {
    if (job) return desk_.run(commands::RecordTag{entries::TagPrinted{serial, copy, std::move(*job)}}, who);
    if (job.error().code == "printer.in_doubt")
        return desk_.run(commands::RecordTag{entries::TagInDoubt{serial, copy}}, who);
    return failed(serial, copy, std::move(job.error()), who);
}

Result<void> TagOutbox::write_file(const std::string& name, const std::string& pdf) const {
    const auto file = settings_.folder / name;
    const auto partial = settings_.folder / ("." + name + ".part");
    const int fd = ::open(partial.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0644);
    if (fd < 0) return file_failed(partial);
    std::size_t done = 0;
    while (done < pdf.size()) {
        const auto n = ::write(fd, pdf.data() + done, pdf.size() - done);
        if (n < 0 && errno == EINTR) continue;
        if (n <= 0) {
            ::close(fd);
            return file_failed(partial);
        }
        done += static_cast<std::size_t>(n);
    }
    const bool synced = ::fsync(fd) == 0;
    if (::close(fd) != 0 || !synced) return file_failed(partial);
    if (::rename(partial.c_str(), file.c_str()) != 0) return file_failed(file);
    if (!sync_path(settings_.folder)) return file_failed(settings_.folder);
    return {};
}

Ran TagOutbox::failed(const std::string& serial, std::int64_t copy, Message why, const std::string& who) {
    return desk_.run(commands::RecordTag{entries::TagFailed{serial, copy, std::move(why)}}, who);
}

}  // namespace crimpgate
