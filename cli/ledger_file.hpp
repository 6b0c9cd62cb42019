// cli/ledger_file.hpp
//
// Where the ledger lies.
#pragma once
#include "cli/surroundings.hpp"

#include <filesystem>
#include <optional>
#include <string>

namespace knockwell {

/// The file given, else $KNOCKWELL_LEDGER, else knockwell/ledger.sqlite in $XDG_DATA_HOME or in
/// ~/.local/share. Nothing where none of these says where. Source  XDG Base Directory
/// Specification, freedesktop.org, version 0.8: a relative $XDG_DATA_HOME is not used
[[nodiscard]] std::optional<std::filesystem::path> ledger_file(const Surroundings& here,
                                                               const std::string& given);

}  // namespace knockwell
