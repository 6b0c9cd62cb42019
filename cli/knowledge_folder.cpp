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

Shelf read_shelf(const std::filesystem::path& folder, ReadFor whom, FileNames names) {
    Shelf shelf;
    shelf.sources = gather_sources(folder);
    if (names == FileNames::from_here) {
        shelf.mark = fingerprint(shelf.sources);
        name_from_here(folder, shelf.sources);
    }
    ReadResult read = read_knowledge(shelf.sources, whom);
    shelf.knowledge = std::move(read.knowledge);
    shelf.problems = std::move(read.problems);
    if (shelf.ok())
        shelf.network = compile(shelf.knowledge);
    return shelf;
}

std::string within_folder(const std::filesystem::path& folder, const std::string& name) {
    return std::filesystem::path(name).lexically_relative(own_name(folder)).generic_string();
}

void name_from_here(const std::filesystem::path& folder, std::vector<Source>& sources) {
    for (Source& source : sources)
        source.name =
            (folder / within_folder(folder, source.name)).lexically_normal().generic_string();
}

std::string Shelf::version() const {
    return knowledge.manifest.version + " (" + (mark.empty() ? fingerprint(sources) : mark) + ")";
}

}  // namespace knockwell
