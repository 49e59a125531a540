// A source that a command opened, or how the command ends because it could not be; the reason is told already.
#pragma once

#include <memory>
#include <utility>

#include "tools/cli/command_line.h"
#include "tools/cli/commands.h"
#include "tools/cli/record_source.h"
#include "tools/cli/source.h"

namespace crimpgate::cli {

template <class Kind>
struct Opened {
    std::unique_ptr<Kind> source;
    int how = Exit::fine;
};

template <class Kind>
Opened<Kind> opened(Result<std::unique_ptr<Kind>> source, bool wrong) {
    if (!source) return {nullptr, wrong ? fail(Exit::wrong_use, source.error()) : fail_with(source.error())};
    return {std::move(*source)};
}

inline Opened<Source> opened_source(const CommandLine& line) {
    bool wrong = false;
    auto source = open_source(line, Access::read, wrong);
    return opened(std::move(source), wrong);
}

inline Opened<RecordSource> opened_record(const CommandLine& line) {
    bool wrong = false;
    auto source = open_record(line, wrong);
    return opened(std::move(source), wrong);
}

}  // namespace crimpgate::cli
