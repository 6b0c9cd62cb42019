// knowledge/read.hpp
//
// Named TOML texts -> the knowledge, or everything that is wrong with them.
//
// A text that is no TOML gives one problem; of the others every problem of meaning is reported in
// the same run. Keys nested deeper than 8 and texts over 4 MiB are refused before the TOML reader
// sees them. No text makes it throw.
#pragma once
#include "base/problem.hpp"
#include "knowledge/model.hpp"

#include <filesystem>
#include <vector>

namespace knockwell {

struct ReadResult {
    Knowledge knowledge;  // whole only where there is no error
    std::vector<Problem>
        problems;  // in order of place: errors, and the warnings of knowledge/lint.hpp
    [[nodiscard]] bool ok() const { return !any_error(problems); }
};

/// For answers alone worked cases are not read (`knowledge.practice` is empty), files of nothing
/// else not even as TOML, and nothing is warned of.
enum class ReadFor { curator, answers };

/// `sources` in the order of their names. Spans index it.
[[nodiscard]] ReadResult read_knowledge(const std::vector<Source>& sources,
                                        ReadFor whom = ReadFor::curator);

/// What the folder itself is called, wherever it lies and however it was given: "kb" of "kb/", and
/// of "." in it.
[[nodiscard]] std::filesystem::path own_name(const std::filesystem::path& folder);

/// The *.toml files under `folder`, by path; names begin with the folder's own (kb/tank.toml). What
/// is named so and is no file that can be read says why in `unread`. Throws std::runtime_error with
/// folder and deed where the folder cannot be listed.
[[nodiscard]] std::vector<Source> gather_sources(const std::filesystem::path& folder);

}  // namespace knockwell
