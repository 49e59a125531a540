// The tag outbox: one tag for each assembly that passed, each copy once.
//
// A job is journalled before it is made (tag.printing) and after (tag.printed, tag.failed). The file in the tag folder
// is written under a name of its own and renamed, so doing that again is not a second tag; handing a job to a print
// server may be. After a crash in between, a job for the folder alone is finished; one for a printer is in doubt
// (tag.in_doubt) and stays so until a person has looked (R11), and so is one whose answer never came. Which printer,
// and what size of tag, is the configuration's until a printer is chosen at the station (printer.chosen). A print
// server may be slow or dead, and the bench does not wait for it: `elsewhere` says where a job is handed over.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "drivers/printer.h"
#include "reports/tag.h"
#include "station/daemon/desk.h"
#include "station/proof/signing_key.h"

namespace crimpgate {

struct TagSettings {
    std::string shop;
    std::filesystem::path folder;
    TagSize size = TagSize::mm100x150;
    int dpi = 203;
    std::string printer_name;  // empty: folder only
    // Signs what the tag's two-dimensional code says (tag_code.h); none: the code is the serial. Must outlive the
    // outbox.
    const SigningKey* tag_key = nullptr;
    std::string link;  // the shop's, https://..., for that code; may be empty
};

// "100x150", "100x50", "a6"; nothing for any other word.
std::optional<TagSize> tag_size_of(std::string_view word);

// The configuration's settings with what was chosen at the station in their place.
TagSettings settings_in_force(const TagSettings& configured, const BenchState& state);

class TagOutbox {
  public:
    using MakePrinter = std::function<std::shared_ptr<Printer>(const std::string& queue)>;
    using Handover = std::function<Result<std::string>()>;
    using Then = std::function<void(Result<std::string>)>;
    // Runs the first wherever waiting harms nobody, then the second on the loop, in the order of the calls.
    using Elsewhere = std::function<void(Handover, Then)>;

    // `desk` and `fonts` must outlive the outbox. Without `elsewhere` jobs are handed over at once.
    TagOutbox(Desk& desk, const FontSet& fonts, TagSettings settings, MakePrinter make_printer,
              Elsewhere elsewhere = nullptr);

    // From now on codes are signed, with the shop's link where one is given.
    void sign_with(const SigningKey& tag_key, std::string link);
    // Makes the folder and settles what a crash left between tag.printing and its end. Once, before anything else.
    Result<void> recover();
    // Makes every tag that is due. Called after each command; does nothing when none is.
    void work();
    // One more copy, numbered, said on the tag (R11).
    Ran reprint(const std::string& serial, const std::string& reason, const std::string& who);
    // Makes every tag that failed, each as what it was: the tag itself, or the reprint under its number. One that
    // fails again is told by its entry.
    Ran retry(const std::string& who);

  private:
    Ran make(const std::string& serial, std::int64_t copy, const std::string& reason, const std::string& who);
    // What became of a job that was handed over.
    Ran handed_over(const std::string& serial, std::int64_t copy, Result<std::string> job, const std::string& who);
    Result<void> write_file(const std::string& name, const std::string& pdf) const;
    Ran failed(const std::string& serial, std::int64_t copy, Message why, const std::string& who);

    Desk& desk_;
    const FontSet& fonts_;
    TagSettings settings_;
    MakePrinter make_printer_;
    Elsewhere elsewhere_;
};

// What the tag of an assembly says; `copy` 0 is the tag itself.
TagData tag_of(const BenchState& state, const AssemblyState& assembly, const TagSettings& settings,
               const std::string& station, const std::string& local_date, std::int64_t copy);

}  // namespace crimpgate
