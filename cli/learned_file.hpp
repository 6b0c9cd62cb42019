// cli/learned_file.hpp
//
// The files that learning changes: the texts of the knowledge, and learned.json beside them, which
// keeps what was written before (learning/proposal.hpp).
//
// Idea     Whatever the moment at which it is killed, all of it is done or nothing: the new texts
//          are written into one file of their own first (.learning.json), which gets its name when
//          it is whole. From then on the change counts as made, and whoever comes next puts it in
//          place where that was cut off. Each file is written under another name and then renamed.
//          Meanwhile the folder is locked (flock), so that of two who learn at once the second sees
//          what the first has put there
// Held by  tests/cli/learn_test.cpp, tests/cli/kill_test.cpp
#pragma once
#include "base/source.hpp"
#include "learning/proposal.hpp"

#include <filesystem>
#include <string>
#include <variant>
#include <vector>

namespace knockwell {

/// The record beside the knowledge; an empty one where there is none; else what is wrong with it.
[[nodiscard]] std::variant<LearnedRecord, std::string>
read_learned(const std::filesystem::path& folder);

/// Puts texts and record in place. `before` are the texts as they were read: where one of them is
/// not so any more, or a change was cut off meanwhile, nothing is done and its name comes back.
/// Throws std::runtime_error with file and deed where the disk refuses.
[[nodiscard]] std::string put_in_place(const std::filesystem::path& folder,
                                       const std::vector<Source>& before,
                                       const LearnedRecord& record_before,
                                       const std::vector<Source>& after,
                                       const LearnedRecord& record);

/// Goes on with what was cut off: files that were put in place, or what is wrong. Nothing where
/// nothing was cut off.
[[nodiscard]] std::variant<std::vector<std::string>, std::string>
finish_learning(const std::filesystem::path& folder);

}  // namespace knockwell
