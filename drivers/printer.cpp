#include "drivers/printer.h"

#include <cups/cups.h>

namespace crimpgate {

Result<std::string> CupsPrinter::print(const PrintJob& job) {
    const std::string media = "Custom." + std::to_string(job.width_mm) + "x" + std::to_string(job.height_mm) + "mm";
    cups_option_t* options = nullptr;
    int count = cupsAddOption("media", media.c_str(), 0, &options);
    count = cupsAddOption("print-scaling", "none", count, &options);
    count = cupsAddOption("copies", "1", count, &options);
    const int id = cupsPrintFile(queue_.c_str(), job.file.c_str(), job.title.c_str(), count, options);
    cupsFreeOptions(count, options);
    if (id == 0) return refuse(message("printer.refused").with("printer", queue_).with("said", cupsLastErrorString()));
    return queue_ + "-" + std::to_string(id);
}

}  // namespace crimpgate
