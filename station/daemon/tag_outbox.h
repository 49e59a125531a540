// The tag outbox: one tag for each assembly that passed, each copy once.
//
// A job is journalled before it is made (tag.printing) and after (tag.printed, tag.failed). The file in the tag folder
// is written under a name of its own and renamed, so doing that again is not a second tag; handing a job to a print
// server may be. After a crash in between, a job for the folder alone is finished; one for a printer is in doubt
// (tag.in_doubt) and stays so until a person has looked (R11).
#pragma once

#include <filesystem>
#include <string>

#include "drivers/printer.h"
#include "reports/tag.h"
#include "station/daemon/desk.h"

namespace crimpgate {

struct TagSettings {
    std::string shop;
    std::filesystem::path folder;
    TagSize size = TagSize::mm100x150;
    int dpi = 203;
    std::string printer_name;  // empty: folder only
};

class TagOutbox {
  public:
    // `printer` may be null when no printer is configured; all must outlive the outbox.
    TagOutbox(Desk& desk, const FontSet& fonts, TagSettings settings, Printer* printer);

    // Makes the folder and settles what a crash left between tag.printing and its end. Once, before anything else.
    Result<void> recover();
    // Makes every tag that is due. Called after each command; does nothing when none is.
    void work();
    // One more copy, numbered, said on the tag (R11).
    Ran reprint(const std::string& serial, const std::string& reason, const std::string& who);

  private:
    Ran make(const std::string& serial, std::int64_t copy, const std::string& reason, const std::string& who);
    Result<void> write_file(const std::string& name, const std::string& pdf) const;
    Ran failed(const std::string& serial, std::int64_t copy, Message why, const std::string& who);

    Desk& desk_;
    const FontSet& fonts_;
    TagSettings settings_;
    Printer* printer_;
};

// What the tag of an assembly says; `copy` 0 is the tag itself.
TagData tag_of(const BenchState& state, const AssemblyState& assembly, const TagSettings& settings,
               const std::string& station, const std::string& local_date, std::int64_t copy);

}  // namespace crimpgate
