// knowledge/reading.hpp
//
// What one run of the reader carries: the names that all files define, and the problems found so
// far.
//
// First every name of every file is gathered and gets its id, then the bodies are read; so a
// reference may point anywhere. A name whose own definition is wrong stays known, so that nothing
// that uses it is reported as well: one mistake, one problem.
#pragma once
#include "base/problem.hpp"
#include "knowledge/model.hpp"
#include "knowledge/tree.hpp"

#include <cstddef>
#include <functional>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace knockwell {

/// The namespaces. Settings and tables are one kind, symptoms and observations another.
enum class Kind {
    setting,
    cause,
    sign,
    access,
    caution,
    test,
    repair,
    refer,
    part,
    stop,
    practice
};

/// "setting", "cause", "sign", ...
[[nodiscard]] std::string_view to_text(Kind kind);

struct Defined {
    std::size_t index = 0;  // in the vector of Knowledge
    Span span;              // of the identifier
};
using Names = std::map<std::string, Defined, std::less<>>;

/// One [word.identifier] to be read. `word` is as written: "table", "symptom", ...
struct Definition {
    Kind kind = Kind::setting;
    std::string word;
    const Entry* entry = nullptr;  // value is a table
    std::size_t index = 0;
};

/// One thing hangs on another: "cause 'a'" is brought on by "cause 'b'".
struct Link {
    std::string from;
    std::string to;
    std::string says;  // "cause 'a' is brought on by 'b'"
    Span span;
};

/// A quantity of `gives`: which setting gives it.
struct GivenQuantity {
    SettingId setting;
    Span span;
};

/// Bounds that no person's knowledge comes near, so that a hostile text is answered in seconds too.
constexpr std::size_t most_told = 1000;      // problems of one run that are kept
constexpr std::size_t most_helped = 200;     // of those, with a search for the nearest names
constexpr std::size_t most_searched = 5000;  // names that are searched
constexpr std::size_t most_values = 200;     // choices, states, levels or kinds of one definition
constexpr std::size_t longest_way = 32;      // accesses on the way to one

struct ReadRun {
    const std::vector<Source>& sources;
    std::vector<Problem> problems;
    std::size_t errors = 0;  // told through `error`, kept or not
    std::size_t missed = 0;  // not found and not told: it may stand where nothing could be read
    Knowledge knowledge;
    std::map<Kind, Names> names;
    std::map<std::string, GivenQuantity, std::less<>> quantities;
    bool whole =
        true;  // every file was TOML; else a name that is not found may stand in the others
    // Named, but not by a table, or by one whose name is another's already.
    std::set<std::pair<Kind, std::string>> mangled;
    std::set<std::string, std::less<>> kindless;    // named under a kind that does not exist
    std::set<std::pair<Kind, std::size_t>> broken;  // there is a gap in the body
    std::set<std::pair<Kind, std::size_t>>
        shapeless;  // the choices, states, levels or kinds could not
    // Keys of a definition that stand in another file than itself: "cause 'worn'", "shows".
    std::set<std::pair<std::string, std::string>> continued;
    std::vector<Link> links;
    std::vector<Definition> definitions;  // once gathered, in the order of Knowledge
    const Entry* manifest = nullptr;
    bool manifest_misspelt = false;  // its header, which is told
    const Entry* words = nullptr;
    const Entry* reports = nullptr;

    explicit ReadRun(const std::vector<Source>& all) : sources(all) {}

    void error(std::string code, const Span& span, std::string says, std::string help = {},
               std::vector<Note> notes = {});

    /// Grows with whatever could not be understood, told or not.
    [[nodiscard]] std::size_t gaps() const { return errors + missed; }

    /// "kb/tank.toml:52:1"
    [[nodiscard]] std::string place(const Span& span) const;
};

/// Finds all names of `trees` (one for each source that is read, nullptr where it was no TOML),
/// gives them ids and fills `definitions`. Problems: no-manifest, unknown-kind, bad-id,
/// duplicate-id, wrong-type.
void gather(ReadRun& run, const std::vector<const Node*>& trees);

/// The index of `name`, which `who` refers to; `role` says how ("shows a sign"). Otherwise the
/// problem unknown-<kind> is added.
[[nodiscard]] std::optional<std::size_t> look_up(ReadRun& run, Kind kind, std::string_view name,
                                                 const Span& span, const std::string& who,
                                                 std::string_view role);

/// The setting that gives the quantity `name`. Otherwise the problem unknown-quantity is added:
/// `who` `role` " a quantity that nothing gives".
[[nodiscard]] const Setting* look_up_quantity(ReadRun& run, const std::string& name,
                                              const Span& span, const std::string& who,
                                              std::string_view role);

/// The index of `name` where it is defined; says nothing otherwise.
[[nodiscard]] std::optional<std::size_t> find(const ReadRun& run, Kind kind, std::string_view name);

/// "write instead: a  (defined at kb/x.toml:1:2), or b", or `otherwise` where nothing is near.
[[nodiscard]] std::string write_instead(const ReadRun& run, std::string_view name,
                                        const std::vector<std::string>& known,
                                        std::string otherwise);

/// "a, b and c"; of many the first dozen, and how many more.
[[nodiscard]] std::string some_of(const std::vector<std::string>& names,
                                  std::string_view last = "and");

/// Reports too-many-values where `values` are more than most_values.
void check_value_count(ReadRun& run, const std::string& who, std::size_t values, const Span& span);

constexpr std::string_view identifier_rule =
    "an identifier is a letter and then letters, digits and '-', all lower case, at most 80 in all";

/// Whether `text` keeps that rule.
[[nodiscard]] bool is_identifier(std::string_view text);

/// "cause 'waterlogged'"
[[nodiscard]] std::string called(std::string_view word, std::string_view id);

// One function for each kind of definition; they need the names, and the shapes of what they refer
// to (settings before conditions, signs before what shows in them).
void read_manifest(ReadRun& run);
void read_setting(ReadRun& run, const Definition& definition);
void read_table(ReadRun& run, const Definition& definition);
void read_rows(ReadRun& run, const Definition& definition);  // nothing for a setting
void read_sign(ReadRun& run, const Definition& definition);
void read_cause(ReadRun& run, const Definition& definition);
void read_access(ReadRun& run, const Definition& definition);
void read_caution(ReadRun& run, const Definition& definition);
void read_test(ReadRun& run, const Definition& definition);
void read_repair(ReadRun& run, const Definition& definition);
void read_refer(ReadRun& run, const Definition& definition);
void read_part(ReadRun& run, const Definition& definition);
void read_stop(ReadRun& run, const Definition& definition);
void read_practice(ReadRun& run, const Definition& definition);

}  // namespace knockwell
