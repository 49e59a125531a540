// A printer for tags: a small interface, and the print server behind it.
#pragma once

#include <cstdint>
#include <string>

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
    // Hands the job over once and does not try again: a job that may or may not have arrived is for a person to settle
    // (R11). The answer is the print server's own id for the job. "printer.refused" with the server's words.
    virtual Result<std::string> print(const PrintJob& job) = 0;
};

// A queue of the CUPS print server; blocks for some milliseconds. The page goes out at its own size, unscaled.
class CupsPrinter final : public Printer {
  public:
    explicit CupsPrinter(std::string queue) : queue_(std::move(queue)) {}
    Result<std::string> print(const PrintJob& job) override;

  private:
    std::string queue_;
};

}  // namespace crimpgate
