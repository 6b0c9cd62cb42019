// cli/shop_file.hpp
//
// The shop's own settings: what an hour of work costs, and what it pays for parts. They are the
// shop's and not the knowledge's, so they lie beside its ledger.
//
// Care     without the file nothing changes; a file that is wrong is told with every place, and
//          one that was named and is not there is told too
// Held by  tests/cli/shop_test.cpp
#pragma once
#include "advice/money.hpp"
#include "base/problem.hpp"
#include "base/source.hpp"
#include "cli/surroundings.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace knockwell {

/// $KNOCKWELL_SHOP, there or not, else shop.toml in the folder of the ledger where it is there.
[[nodiscard]] std::optional<std::filesystem::path> shop_file(const Surroundings& here,
                                                             const std::string& ledger);

/// Rates, or everything that is wrong with the text.
[[nodiscard]] std::variant<Rates, std::vector<Problem>> read_shop(const Knowledge& knowledge,
                                                                  const Source& source);

}  // namespace knockwell
