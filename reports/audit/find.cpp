#include <algorithm>

#include "reports/audit/audit.h"

namespace crimpgate::audit {

const Sheet* find_sheet(const Audit& audit, std::string_view id) {
    const auto found =
        std::find_if(audit.sheets.begin(), audit.sheets.end(), [&](const Sheet& sheet) { return sheet.id == id; });
    return found == audit.sheets.end() ? nullptr : &*found;
}

}  // namespace crimpgate::audit
