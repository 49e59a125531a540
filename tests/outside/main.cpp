// outside_figures FILE: what this project's statistics say about the cases of a data file (case.h tells its form), for
// other programs to compare with what they reckon (README.md).
#include <cstdio>
#include <exception>
#include <map>
#include <string>

#include "tests/outside/case.h"

int main(int argc, char* argv[]) {
    using namespace crimpgate::outside;
    const std::map<std::string, void (*)(const Case&, const Figures&)> kinds = {
        {"values", say_values},
        {"groups", say_groups},
        {"table", say_table},
        {"pairs", say_pairs},
        {"constants", say_constants},
        {"distributions", say_distributions},
        {"run_lengths", say_run_lengths},
        {"tolerance", say_tolerance},
        {"budget", say_budget},
        {"lot", say_lot},
    };
    try {
        if (argc != 2) throw std::runtime_error("usage: outside_figures FILE");
        std::ifstream file(argv[1]);
        if (!file) throw std::runtime_error(std::string("cannot read ") + argv[1]);
        for (const auto& given : read_cases(file))
            kinds.at(given.kind)(given, Figures(given.name));
        return std::fflush(stdout) == 0 ? 0 : 1;
    } catch (const std::exception& error) {
        std::fprintf(stderr, "outside_figures: %s\n", error.what());
        return 1;
    }
}
