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

TagOutbox::TagOutbox(Desk& desk, const FontSet& fonts, TagSettings settings, Printer* printer)
    : desk_(desk), fonts_(fonts), settings_(std::move(settings)), printer_(printer) {}

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
        const auto tag = tag_of(desk_.state(), a, settings_, desk_.rules().station,
                                local_date(a.passed_utc_ms, desk_.time_zone()), job.copy);
        const auto pdf = render_tag(tag, settings_.size, fonts_, settings_.dpi);
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

Ran TagOutbox::make(const std::string& serial, std::int64_t copy, const std::string& reason, const std::string& who) {
    const auto& a = desk_.state().assemblies.at(serial);
    const auto tag = tag_of(desk_.state(), a, settings_, desk_.rules().station,
                            local_date(a.passed_utc_ms, desk_.time_zone()), copy);
    const auto pdf = render_tag(tag, settings_.size, fonts_, settings_.dpi);

    entries::TagPrinting printing;
    printing.serial = serial;
    printing.copy = copy;
    printing.reason = reason;
    if (pdf) printing.pdf_sha256 = sha256_hex(*pdf);
    printing.file = serial + (copy == 0 ? "" : "-reprint-" + std::to_string(copy)) + ".pdf";
    printing.printer = printer_ == nullptr ? "" : settings_.printer_name;
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
    std::string job;
    if (printer_ != nullptr) {
        const auto format = tag_format(settings_.size);
        PrintJob print;
        print.file = (settings_.folder / printing.file).string();
        print.title = "crimpgate " + serial + (copy == 0 ? "" : " reprint " + std::to_string(copy));
        print.width_mm = static_cast<std::int64_t>(format.width);
        print.height_mm = static_cast<std::int64_t>(format.height);
        auto handed_over = printer_->print(print);
        if (!handed_over) return follow(failed(serial, copy, handed_over.error(), who));
        job = std::move(*handed_over);
    }
    return follow(desk_.run(commands::RecordTag{entries::TagPrinted{serial, copy, job}}, who));
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
