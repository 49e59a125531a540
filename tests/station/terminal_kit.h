// `crimpgate` at somebody's terminal, with a station that runs and their PIN in a file.
#pragma once

#include <sys/stat.h>

#include <fstream>
#include <string>
#include <vector>

#include "api_station.h"
#include "tests/tools/cli_kit.h"

namespace crimpgate::test {

struct Terminal {
    explicit Terminal(ApiStation& at) : station(at) {
        for (const char* person : {"LEA", "OPA"}) {
            const auto file = station.folder / (std::string(person) + ".pin");
            std::ofstream(file) << ApiStation::pin_of(person) << "\n";
            ::chmod(file.c_str(), 0600);
        }
    }
    cli_kit::Run ask(const std::string& person, std::vector<std::string> command) const {
        for (const auto& word :
             {std::string("--station"), "http://127.0.0.1:" + std::to_string(station.port()), std::string("--person"),
              person, std::string("--pin-file"), (station.folder / (person + ".pin")).string()})
            command.push_back(word);
        return cli_kit::run(command);
    }
    ApiStation& station;
};

}  // namespace crimpgate::test
