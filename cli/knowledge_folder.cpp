#include "cli/knowledge_folder.hpp"

#include "knowledge/version.hpp"

#include <system_error>
#include <utility>

namespace knockwell {

std::filesystem::path knowledge_folder(const Surroundings& here, const std::string& given) {
    if (!given.empty())
        return given;
    if (std::string named = here.variable("KNOCKWELL_KB"); !named.empty())
        return named;
    std::error_code none;  // what cannot be looked at is not there
    if (!here.program.empty()) {
        auto installed = here.program.parent_path().parent_path() / "share" / "knockwell" / "kb";
        if (std::filesystem::is_directory(installed, none))
            return installed;
    }
    return "kb";
}

Shelf read_shelf(const std::filesystem::path& folder, ReadFor whom) {
    Shelf shelf;
    shelf.sources = gather_sources(folder);
    ReadResult read = read_knowledge(shelf.sources, whom);
    shelf.knowledge = std::move(read.knowledge);
    shelf.problems = std::move(read.problems);
    if (shelf.ok())
        shelf.network = compile(shelf.knowledge);
    return shelf;
}

std::string Shelf::version() const {
    return knowledge.manifest.version + " (" + fingerprint(sources) + ")";
}

}  // namespace knockwell
