// support/knowledge_of.hpp
//
// Knowledge out of a TOML text, for tests that tell their story in it.
#pragma once
#include "knowledge/read.hpp"

#include <string>
#include <string_view>

namespace knockwell {

/// Reads `toml` as the one file test.toml, as it stands.
[[nodiscard]] ReadResult read_text(std::string_view toml);

/// The knowledge of `toml`. A manifest is put behind it where it has none, so places stay as
/// written. Where there are errors the test that asks fails and prints them; warnings are left
/// alone.
[[nodiscard]] Knowledge knowledge_of(std::string_view toml);

/// Every problem as it is printed, for read_text(`toml`).
[[nodiscard]] std::string problems_of(std::string_view toml);

}  // namespace knockwell
