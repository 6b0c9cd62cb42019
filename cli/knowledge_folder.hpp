// cli/knowledge_folder.hpp
//
// Where the knowledge lies, and the knowledge itself.
#pragma once
#include "advice/money.hpp"
#include "base/problem.hpp"
#include "beliefs/beliefs.hpp"
#include "cli/surroundings.hpp"
#include "knowledge/model.hpp"
#include "knowledge/read.hpp"
#include "network/network.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace knockwell {

/// The folder given, else $KNOCKWELL_KB, else ../share/knockwell/kb from the program, else ./kb.
[[nodiscard]] std::filesystem::path knowledge_folder(const Surroundings& here,
                                                     const std::string& given);

/// The knowledge with its texts and its network.
struct Shelf {
    std::vector<Source> sources;
    std::vector<Problem> problems;
    Knowledge knowledge;
    Network network;   // only where there is no error
    Rates rates;       // the shop's own; none where it keeps none
    std::string mark;  // fingerprint of the sources, where they are named otherwise since
    [[nodiscard]] bool ok() const { return !any_error(problems); }
    [[nodiscard]] Model model() const { return {&knowledge, &network}; }
    /// "2026.11 (3f9c0a12bd77)"; goes over all texts.
    [[nodiscard]] std::string version() const;
};

/// Within the folder: "kb/tank.toml" -> "tank.toml".
[[nodiscard]] std::string within_folder(const std::filesystem::path& folder,
                                        const std::string& name);

/// Names the files as they can be opened from here, by the folder as it was given:
/// "kb/tank.toml" -> "../elsewhere/kb/tank.toml".
void name_from_here(const std::filesystem::path& folder, std::vector<Source>& sources);

/// How the files are called: by the folder's own name, wherever it lies ("kb/tank.toml", as the
/// version and what was learned go by), or as they can be opened from here.
enum class FileNames { of_the_folder, from_here };

/// Throws std::runtime_error with folder and deed where it cannot be read.
[[nodiscard]] Shelf read_shelf(const std::filesystem::path& folder, ReadFor whom,
                               FileNames names = FileNames::of_the_folder);

}  // namespace knockwell
