#include "cli/ledger_file.hpp"

namespace knockwell {

std::optional<std::filesystem::path> ledger_file(const Surroundings& here,
                                                 const std::string& given) {
    if (!given.empty())
        return given;
    if (const std::string named = here.variable("KNOCKWELL_LEDGER"); !named.empty())
        return named;
    std::filesystem::path data = here.variable("XDG_DATA_HOME");
    if (!data.is_absolute()) {
        const std::string home = here.variable("HOME");
        if (home.empty())
            return std::nullopt;
        data = std::filesystem::path(home) / ".local" / "share";
    }
    return data / "knockwell" / "ledger.sqlite";
}

}  // namespace knockwell
