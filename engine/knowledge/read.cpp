#include "knowledge/read.hpp"

#include "base/nearest.hpp"
#include "base/whole_file.hpp"
#include "base/words.hpp"
#include "knowledge/check.hpp"
#include "knowledge/lint.hpp"
#include "knowledge/reading.hpp"

#include <algorithm>
#include <iterator>
#include <stdexcept>
#include <string_view>
#include <system_error>

namespace knockwell {

namespace fs = std::filesystem;

namespace {

void read_body(ReadRun& run, const Definition& definition) {
    switch (definition.kind) {
    case Kind::setting:
        return definition.word == "table" ? read_table(run, definition)
                                          : read_setting(run, definition);
    case Kind::cause:
        return read_cause(run, definition);
    case Kind::sign:
        return read_sign(run, definition);
    case Kind::access:
        return read_access(run, definition);
    case Kind::caution:
        return read_caution(run, definition);
    case Kind::test:
        return read_test(run, definition);
    case Kind::repair:
        return read_repair(run, definition);
    case Kind::refer:
        return read_refer(run, definition);
    case Kind::part:
        return read_part(run, definition);
    case Kind::stop:
        return read_stop(run, definition);
    case Kind::practice:
        return read_practice(run, definition);
    }
}

/// Whether nothing but sub-tables stands under a name.
bool is_all_sub_tables(const Node& value) {
    bool any = false;
    for (const Entry& entry : value.entries()) {
        if (entry.value.kind != Node::Kind::table)
            return false;
        any = true;
    }
    return any;
}

/// Nothing but sub-tables stands under a name that lacks what it must have: mostly the name is that
/// of another definition, misspelt. Told with what is missing, from problem `first` on.
void tell_whose_sub_table(ReadRun& run, const Definition& definition, std::size_t first) {
    // What is beyond the problems that are told is not looked for.
    if (run.problems.size() == first || !is_all_sub_tables(definition.entry->value))
        return;
    std::vector<std::string> names;
    for (const Definition& other : run.definitions)
        if (other.kind == definition.kind && !is_all_sub_tables(other.entry->value))
            names.emplace_back(other.entry->key);
    const std::vector<std::string> near = nearest(definition.entry->key, names, 1);
    const std::string part = definition.entry->value.entries().begin()->key;
    for (std::size_t i = first; i < run.problems.size(); ++i)
        if (run.problems[i].code == "missing-key" && run.problems[i].help.empty())
            run.problems[i].help = near.empty()
                                       ? "only '" + part + "' stands under that name"
                                       : "only '" + part + "' stands under that name; that of '" +
                                             escape_controls(near.front()) + "'?";
}

/// Reads the definitions of one kind, and remembers which of them are broken.
void read_all(ReadRun& run, Kind kind, void (*body)(ReadRun&, const Definition&)) {
    for (const Definition& definition : run.definitions) {
        if (definition.kind != kind)
            continue;
        const std::size_t before = run.gaps();
        const std::size_t problems = run.problems.size();
        body(run, definition);
        if (run.gaps() == before)
            continue;
        run.broken.emplace(kind, definition.index);
        tell_whose_sub_table(run, definition, problems);
    }
}

/// Settings come first, for conditions and quantities; then signs, for what shows in them. Rows
/// come last, since they are told by the names of what their table is given.
void read_bodies(ReadRun& run, ReadFor whom) {
    read_manifest(run);
    for (const Kind kind : {Kind::setting, Kind::sign, Kind::access, Kind::caution, Kind::cause,
                            Kind::test, Kind::repair, Kind::refer, Kind::part, Kind::stop})
        read_all(run, kind, read_body);
    if (whom == ReadFor::curator)
        read_all(run, Kind::practice, read_body);
    else
        run.knowledge.practice.clear();
    read_all(run, Kind::setting, read_rows);
}

/// Whether every header of a text is one of a worked case. A header opens its line; one that stands
/// in a text of several lines can only make a file count as more than it is.
bool holds_cases_alone(std::string_view text) {
    constexpr std::string_view case_header = "[practice.";
    bool any = false;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        std::string_view line = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        line.remove_prefix(std::min(line.find_first_not_of(" \t\r"), line.size()));
        if (line.starts_with('[')) {
            if (!line.starts_with(case_header))
                return false;
            any = true;
        } else if (!any && !line.empty() && !line.starts_with('#')) {
            return false;
        }
    }
    return any;
}

/// "tank.toml", and "tank.TOML", "tank.toml.txt" and "tank.tml" too, which are not read and must
/// not be passed over in silence. What an editor leaves beside a text that it has open, a link
/// ".#tank.toml" to nowhere, is none.
bool named_as_text(const fs::path& path) {
    const std::string name = small_letters(path.filename().string());
    return (name.ends_with(".toml") || name.ends_with(".toml.txt") || name.ends_with(".tml")) &&
           !name.starts_with(".#");
}

/// Why what is named as a text of the knowledge is none; empty where it is one.
std::string why_no_text(const fs::path& path) {
    std::error_code none;
    const fs::file_status status = fs::status(path, none);
    if (fs::is_directory(status))
        return "this is a folder and no file";
    if (!fs::exists(status))
        return "this is a link that leads nowhere";
    if (!fs::is_regular_file(status))
        return "this is no file that holds a text";
    if (path.extension() != ".toml")
        return "this file is not read, since its name does not end in '.toml' but in '" +
               path.extension().string() + "'";
    return {};
}

Source source_at(const fs::path& path, std::string name) {
    if (std::string why = why_no_text(path); !why.empty())
        return {std::move(name), "", std::move(why)};
    try {
        return {std::move(name), whole_file(path)};
    } catch (const std::system_error& failed) {
        return {std::move(name), "", "this file cannot be read: " + failed.code().message()};
    }
}

}  // namespace

ReadResult read_knowledge(const std::vector<Source>& sources, ReadFor whom) {
    ReadRun run(sources);
    TreeRoom room;
    std::vector<std::optional<Node>> trees;
    for (std::size_t i = 0; i < sources.size(); ++i)
        if (whom == ReadFor::curator || !holds_cases_alone(sources[i].text))
            trees.push_back(
                parse_tree(sources[i], static_cast<std::uint32_t>(i), room, run.problems));
    std::vector<const Node*> roots;
    for (const std::optional<Node>& tree : trees)
        roots.push_back(tree ? &*tree : nullptr);
    gather(run, roots);
    read_bodies(run, whom);
    check(run);
    if (whom == ReadFor::curator && !any_error(run.problems)) {
        const std::vector<Problem> warnings = lint(run.knowledge);
        run.problems.insert(run.problems.end(), warnings.begin(), warnings.end());
    }
    put_in_order(run.problems);
    if (run.errors > most_told)
        run.problems.push_back({Severity::error,
                                "too-many-problems",
                                {},
                                std::to_string(run.errors - most_told) + " more problems",
                                "only the first " + std::to_string(most_told) + " are told",
                                {}});
    return {std::move(run.knowledge), std::move(run.problems)};
}

fs::path own_name(const fs::path& folder) {
    // "kb/" has an empty last part, and "." has no name of its own.
    std::error_code ignored;
    const auto whole = std::filesystem::absolute(folder, ignored).lexically_normal();
    return whole.has_filename() ? whole.filename() : whole.parent_path().filename();
}

std::vector<Source> gather_sources(const fs::path& folder) {
    std::vector<fs::path> paths;
    try {
        for (const fs::directory_entry& entry : fs::recursive_directory_iterator(folder))
            if (named_as_text(entry.path()))
                paths.push_back(entry.path());
    } catch (const fs::filesystem_error& error) {
        throw std::runtime_error("cannot list the knowledge folder " + folder.string() + ": " +
                                 error.code().message());
    }
    std::sort(paths.begin(), paths.end());
    const fs::path name = own_name(folder);
    std::vector<Source> sources;
    for (const fs::path& path : paths)
        sources.push_back(
            source_at(path, (name / path.lexically_relative(folder)).generic_string()));
    return sources;
}

}  // namespace knockwell
