// Where this test program was built, to find the programs that it runs.
#pragma once

#include <string>

namespace crimpgate {

const std::string& build_folder();

}  // namespace crimpgate
