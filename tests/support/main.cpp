// The tests' entry point, compiled once: instantiating the framework costs more than any test file.
#if __has_include(<catch2/catch_all.hpp>)
#include <catch2/catch_session.hpp>
#else
#define CATCH_CONFIG_RUNNER
#include <catch2/catch.hpp>
#endif

#include "tests/support/build_folder.h"

namespace crimpgate {

const std::string& build_folder() {
    static const std::string folder = CRIMPGATE_BINARY_DIR;
    return folder;
}

}  // namespace crimpgate

int main(int argc, char* argv[]) {
    return Catch::Session().run(argc, argv);
}
