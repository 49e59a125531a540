// A printer for tags: a small interface, and the print server behind it.
#pragma once

#include <chrono>
#include <cstdint>
#include <string>
#include <vector>

#include "specs/message.h"

namespace crimpgate {

struct PrintJob {
    std::string file;   // path of a PDF whose page is the label
    std::string title;  // serial and copy: shown in the print server's queue
    std::int64_t width_mm = 0;
    std::int64_t height_mm = 0;
};

class Printer {
  public:
    virtual ~Printer() = default;
    // Hands the job over once and does not try again. The answer is the print server's own id for the job. Two ways to
    // fail: "printer.refused" (printer, said), and nothing will come out of it; "printer.in_doubt" (printer, said): the
    // job was sent and its answer never came, so it is a person's to look (R11).
    virtual Result<std::string> print(const PrintJob& job) = 0;
};

// A queue of the CUPS print server. Blocks: some milliseconds as a rule, at most a few times `patience` when the server
// is there and does not answer. The page goes out at its own size, unscaled.
class CupsPrinter final : public Printer {
  public:
    explicit CupsPrinter(std::string queue, std::chrono::milliseconds patience = std::chrono::seconds(4))
        : queue_(std::move(queue)), patience_(patience) {}
    Result<std::string> print(const PrintJob& job) override;

  private:
    std::string queue_;
    std::chrono::milliseconds patience_;
};

struct FoundPrinter {
    std::string name;   // of the queue
    std::string info;   // what whoever made the queue wrote
    std::string state;  // "idle", "printing", "stopped"
    bool accepting = false;
    std::string said;  // by the printer, when something is wrong
    bool operator==(const FoundPrinter&) const = default;
};

// The print server's queues, by name. "printer.no_server" (said). Blocks like CupsPrinter.
Result<std::vector<FoundPrinter>> find_printers(std::chrono::milliseconds patience = std::chrono::seconds(4));

}  // namespace crimpgate
