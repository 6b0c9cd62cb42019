#include "base/nearest.hpp"
#include "base/words.hpp"
#include "knowledge/fields.hpp"
#include "knowledge/reading.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace knockwell {
namespace {

constexpr std::size_t longest_identifier = 80;

struct KindWord {
    std::string_view word;
    Kind kind;
};
constexpr std::array<KindWord, 13> kind_words{{{"setting", Kind::setting},
                                               {"table", Kind::setting},
                                               {"cause", Kind::cause},
                                               {"symptom", Kind::sign},
                                               {"observation", Kind::sign},
                                               {"access", Kind::access},
                                               {"caution", Kind::caution},
                                               {"test", Kind::test},
                                               {"repair", Kind::repair},
                                               {"refer", Kind::refer},
                                               {"part", Kind::part},
                                               {"stop", Kind::stop},
                                               {"practice", Kind::practice}}};
constexpr std::array<std::string_view, 3> opening_words{"manifest", "words", "reports"};

std::vector<std::string> all_kind_words() {
    std::vector<std::string> all(opening_words.begin(), opening_words.end());
    for (const KindWord& word : kind_words)
        all.emplace_back(word.word);
    return all;
}

/// [manifest], [words], [reports]: each at most once in a run.
void keep_opening(ReadRun& run, const Entry& entry) {
    const Entry*& kept = entry.key == "manifest" ? run.manifest
                         : entry.key == "words"  ? run.words
                                                 : run.reports;
    if (kept != nullptr) {
        run.error("duplicate-id", entry.key_span, "[" + entry.key + "] stands twice", "",
                  {{kept->key_span, "the first one"}});
        return;
    }
    kept = &entry;
    if (entry.value.kind != Node::Kind::table)
        run.error("wrong-type", entry.value.span, "'" + entry.key + "' must be a table",
                  "write [" + entry.key + "] on a line by itself");
}

/// Where a setting, table, symptom or observation of that name stands already.
const Defined* taken(const ReadRun& run, Kind kind, const std::string& id) {
    const auto in = [&](Kind other) -> const Defined* {
        const auto names = run.names.find(other);
        if (names == run.names.end())
            return nullptr;
        const auto found = names->second.find(id);
        return found == names->second.end() ? nullptr : &found->second;
    };
    if (const Defined* same = in(kind))
        return same;
    if (kind == Kind::setting)
        return in(Kind::sign);
    if (kind == Kind::sign)
        return in(Kind::setting);
    return nullptr;
}

/// Nothing but tables under headers of their own: [cause.x.shows] without a [cause.x] before it.
bool is_continuation(const Entry& entry) {
    const auto keys = entry.value.entries();
    return !keys.empty() && std::all_of(keys.begin(), keys.end(), [](const Entry& key) {
        return key.value.kind == Node::Kind::table && !key.value.closed;
    });
}

/// A part of a definition that stands in another file. Its keys are not missed there as well.
void tell_continuation(ReadRun& run, const std::string& who, const Entry& part, const Span& whole) {
    for (const Entry& key : part.value.entries())
        run.continued.emplace(who, key.key);
    run.error("duplicate-id", part.key_span, who + " goes on here, in another file",
              "a definition stands whole in one file: put this into " + run.place(whole),
              {{whole, "it begins here"}});
}

/// Whether the second place of a name is in another file than the first and one of the two goes on
/// with the other; it is told then, and the whole one kept.
bool keep_continued(ReadRun& run, const KindWord& word, const Entry& entry) {
    if (!find(run, word.kind, entry.key))
        return false;
    const auto at =
        std::find_if(run.definitions.begin(), run.definitions.end(), [&](const Definition& it) {
            return it.word == word.word && it.entry->key == entry.key;
        });
    if (at == run.definitions.end() || at->entry->key_span.source == entry.key_span.source)
        return false;
    const std::string who = called(word.word, entry.key);
    if (is_continuation(entry)) {
        tell_continuation(run, who, entry, at->entry->key_span);
        return true;
    }
    if (!is_continuation(*at->entry))
        return false;
    tell_continuation(run, who, *at->entry, entry.key_span);
    at->entry = &entry;
    run.names[word.kind][entry.key].span = entry.key_span;
    return true;
}

void keep_definition(ReadRun& run, const KindWord& word, const Entry& entry) {
    const std::string who = called(word.word, entry.key);
    if (!is_identifier(entry.key))
        run.error("bad-id", entry.key_span, "'" + entry.key + "' is no identifier",
                  std::string(identifier_rule));
    if (keep_continued(run, word, entry))
        return;
    if (const Defined* first = taken(run, word.kind, entry.key)) {
        run.error("duplicate-id", entry.key_span, who + " has a name that is taken",
                  word.kind == Kind::setting || word.kind == Kind::sign
                      ? "settings, tables, symptoms and observations share their names; give one "
                        "another name, or leave it out"
                      : "give one of the two another name, or leave it out",
                  {{first->span, "the other one"}});
        run.mangled.emplace(word.kind, entry.key);
        return;
    }
    Names& names = run.names[word.kind];
    const std::size_t index = names.size();
    names[entry.key] = {index, entry.key_span};
    run.definitions.push_back({word.kind, std::string(word.word), &entry, index});
}

/// What is under no kind that there is. Its names are not missed as well, and neither is a manifest
/// that is misspelt.
void keep_kindless(ReadRun& run, const Entry& top) {
    if (top.value.kind != Node::Kind::table) {
        run.error("unknown-key", top.key_span, "'" + top.key + "' stands before the first header",
                  "put it under the header of what it belongs to, such as [cause.some-identifier]");
        return;
    }
    const std::vector<std::string> known = all_kind_words();
    for (const Entry& entry : top.value.entries())
        run.kindless.insert(std::string(entry.key));
    if (run.errors < most_helped && nearest(top.key, known) == std::vector<std::string>{"manifest"})
        run.manifest_misspelt = true;
    run.error("unknown-kind", top.key_span, "there is no kind of definition '" + top.key + "'",
              write_instead(run, top.key, known, "the kinds are " + list_of(known)));
}

/// What [[cause.worn-pump]] makes.
bool is_list_of_tables(const Node& node) {
    return node.kind == Node::Kind::array && !node.items().empty() &&
           node.items().begin()->kind == Node::Kind::table;
}

void gather_top(ReadRun& run, const Entry& top) {
    if (std::find(opening_words.begin(), opening_words.end(), top.key) != opening_words.end()) {
        keep_opening(run, top);
        return;
    }
    const auto* const word =
        std::find_if(kind_words.begin(), kind_words.end(),
                     [&](const KindWord& known) { return known.word == top.key; });
    if (word == kind_words.end())
        return keep_kindless(run, top);
    if (top.value.kind != Node::Kind::table) {
        run.error("wrong-type", top.value.span, "'" + top.key + "' must be a table",
                  "write [" + top.key + ".some-identifier] on a line by itself");
        return;
    }
    bool told = false;
    for (const Entry& entry : top.value.entries()) {
        if (entry.value.kind == Node::Kind::table) {
            keep_definition(run, *word, entry);
            continue;
        }
        run.mangled.emplace(word->kind, entry.key);
        if (is_list_of_tables(entry.value)) {
            run.error("wrong-type", entry.key_span, "'" + entry.key + "' is defined as a list",
                      "a header has one [ before it and one ] behind it: [" + top.key + "." +
                          entry.key + "]");
            continue;
        }
        if (!told)  // the keys of one definition without its identifier are one mistake
            run.error("wrong-type", entry.key_span,
                      "'" + entry.key + "' stands where [" + top.key + "] has its identifiers",
                      "write [" + top.key + ".some-identifier] before the keys of a definition");
        told = true;
    }
}

/// The texts in the order of what each defines first, and not of their files' names, on which no
/// answer may hang; within a text its own order is kept. On worked cases none hangs: their texts
/// stay in the order of the names.
void put_texts_in_order(ReadRun& run) {
    using First = std::pair<std::string_view, std::string_view>;
    std::vector<First> first(run.sources.size());  // [source] of its first definition
    for (const Definition& definition : run.definitions)
        if (First& it = first[definition.entry->key_span.source];
            it == First{} && definition.kind != Kind::practice)
            it = {definition.entry->key, definition.word};
    const auto of = [&](const Definition& it) { return first[it.entry->key_span.source]; };
    std::stable_sort(run.definitions.begin(), run.definitions.end(),
                     [&](const Definition& a, const Definition& b) { return of(a) < of(b); });
    std::map<Kind, std::size_t> next;
    for (Definition& definition : run.definitions)
        definition.index = run.names[definition.kind][definition.entry->key].index =
            next[definition.kind]++;
}

/// Gives settings and tables new indices, so that a table stands after its parents and the order of
/// the text is kept otherwise. In a cycle (reported later) the first met stays first.
class ParentsFirst {
public:
    explicit ParentsFirst(ReadRun& run) : run_(run) {}

    void sort() {
        for (const Definition& definition : run_.definitions)
            if (definition.kind == Kind::setting)
                visit(definition);
        Names& names = run_.names[Kind::setting];
        for (Definition& definition : run_.definitions)
            if (definition.kind == Kind::setting)
                definition.index = names[definition.entry->key].index =
                    place_[definition.entry->key];
    }

private:
    void visit(const Definition& definition) {
        // The way down is as long as the longest chain of tables, so it goes by a list, not by
        // recursion.
        std::vector<std::pair<const Definition*, std::vector<const Definition*>>> way;
        const auto enter = [&](const Definition& one) {
            if (seen_.insert(one.entry->key).second)
                way.emplace_back(&one, parents(one));
        };
        enter(definition);
        while (!way.empty()) {
            auto& [one, rest] = way.back();
            if (rest.empty()) {
                place_.emplace(one->entry->key, place_.size());
                way.pop_back();
                continue;
            }
            const Definition* next = rest.front();
            rest.erase(rest.begin());
            enter(*next);
        }
    }

    std::vector<const Definition*> parents(const Definition& definition) {
        std::vector<const Definition*> all;
        if (definition.word != "table")
            return all;
        for (const Entry& key : definition.entry->value.entries())
            if (key.key == "given")
                for (const Node& name : key.value.items())
                    if (const Definition* parent = by_name(name.text))
                        all.push_back(parent);
        return all;
    }

    const Definition* by_name(const std::string& name) {
        if (by_name_.empty())
            for (const Definition& definition : run_.definitions)
                if (definition.kind == Kind::setting)
                    by_name_.emplace(definition.entry->key, &definition);
        const auto found = by_name_.find(name);
        return found == by_name_.end() ? nullptr : found->second;
    }

    ReadRun& run_;
    std::map<std::string, const Definition*> by_name_;
    std::set<std::string> seen_;
    std::map<std::string, std::size_t> place_;
};

/// Those among whose words at least half of the words of `name` stand, the nearest first.
std::vector<std::string> of_its_words(std::string_view name,
                                      const std::vector<std::string>& known) {
    constexpr std::size_t most = 3;
    const std::vector<std::string> typed = small_words_of(name);
    std::vector<std::vector<std::string>> words;
    words.reserve(known.size());
    for (const std::string& one : known)
        words.push_back(small_words_of(one));
    std::vector<std::string> near;
    for (const std::size_t place : by_common_words(typed, words)) {
        const auto common = std::count_if(typed.begin(), typed.end(), [&](const auto& word) {
            return std::find(words[place].begin(), words[place].end(), word) != words[place].end();
        });
        if (near.size() < most && 2 * static_cast<std::size_t>(common) >= typed.size() &&
            common > 0)
            near.push_back(known[place]);
    }
    return near;
}

/// "a cause", "an access"
std::string with_article(std::string_view kind) {
    const bool vowel = std::string_view("aeiou").find(kind.front()) != std::string_view::npos;
    return (vowel ? "an " : "a ") + std::string(kind);
}

template <class T>
void make_room(ReadRun& run, std::vector<T>& list, Kind kind) {
    list.resize(run.names[kind].size());
}

}  // namespace

std::string_view to_text(Kind kind) {
    switch (kind) {
    case Kind::setting:
        return "setting";
    case Kind::cause:
        return "cause";
    case Kind::sign:
        return "sign";
    case Kind::access:
        return "access";
    case Kind::caution:
        return "caution";
    case Kind::test:
        return "test";
    case Kind::repair:
        return "repair";
    case Kind::refer:
        return "refer";
    case Kind::part:
        return "part";
    case Kind::stop:
        return "stop";
    case Kind::practice:
        return "practice";
    }
    return "";
}

void ReadRun::error(std::string code, const Span& span, std::string says, std::string help,
                    std::vector<Note> notes) {
    ++errors;
    if (errors <= most_told)
        problems.push_back({Severity::error, std::move(code), span, std::move(says),
                            std::move(help), std::move(notes)});
}

std::string ReadRun::place(const Span& span) const {
    return sources[span.source].name + ":" + std::to_string(span.begin.line) + ":" +
           std::to_string(span.begin.column);
}

std::string called(std::string_view word, std::string_view id) {
    return std::string(word) + " '" + std::string(id) + "'";
}

bool is_identifier(std::string_view text) {
    const auto letter = [](char c) { return c >= 'a' && c <= 'z'; };
    if (text.empty() || text.size() > longest_identifier || !letter(text.front()))
        return false;
    return std::all_of(text.begin(), text.end(),
                       [&](char c) { return letter(c) || (c >= '0' && c <= '9') || c == '-'; });
}

std::string write_instead(const ReadRun& run, std::string_view name,
                          const std::vector<std::string>& known, std::string otherwise) {
    if (run.errors >= most_helped || known.size() > most_searched)
        return otherwise;
    return one_of_instead(nearest(name, known), std::move(otherwise));
}

std::string some_of(const std::vector<std::string>& names, std::string_view last) {
    constexpr std::size_t dozen = 12;
    if (names.size() <= dozen)
        return list_of(names, last);
    std::vector<std::string> some(names.begin(), names.begin() + dozen);
    some.push_back(std::to_string(names.size() - dozen) + " more");
    return list_of(some, last);
}

void check_value_count(ReadRun& run, const std::string& who, std::size_t values, const Span& span) {
    if (values > most_values)
        run.error("too-many-values", span,
                  who + " has " + std::to_string(values) + " values, more than " +
                      std::to_string(most_values),
                  "nobody tells so many apart; put some of them together");
}

std::optional<std::size_t> find(const ReadRun& run, Kind kind, std::string_view name) {
    const auto names = run.names.find(kind);
    if (names == run.names.end())
        return std::nullopt;
    const auto found = names->second.find(name);
    if (found == names->second.end())
        return std::nullopt;
    return found->second.index;
}

std::optional<std::size_t> look_up(ReadRun& run, Kind kind, std::string_view name, const Span& span,
                                   const std::string& who, std::string_view role) {
    if (const auto index = find(run, kind, name))
        return index;
    if (!run.whole || run.mangled.contains({kind, std::string(name)}) ||
        run.kindless.contains(name)) {
        ++run.missed;
        return std::nullopt;
    }
    if (const std::string cure = cure_of_stray_key(name); !cure.empty()) {
        run.error("unknown-" + std::string(to_text(kind)), span,
                  who + " " + std::string(role) + " that nothing defines", cure);
        return std::nullopt;
    }
    const Names& names = run.names[kind];
    std::vector<std::string> near;
    if (run.errors < most_helped && names.size() <= most_searched) {
        std::vector<std::string> known;
        for (const auto& [id, defined] : names)
            known.push_back(id);
        near = nearest(name, known);
        if (near.empty())
            near = of_its_words(name, known);
    }
    // The misspelt definition was meant most likely, and its name is told already.
    if (!std::all_of(near.begin(), near.end(), is_identifier)) {
        ++run.missed;
        return std::nullopt;
    }
    for (std::string& id : near)
        id += "  (defined at " + run.place(names.at(id).span) + ")";
    std::string help = one_of_instead(near, "");
    for (const auto& [other, others] : run.names) {
        const auto found = others.find(name);
        if (help.empty() && found != others.end())
            help = "'" + std::string(name) + "' is " + with_article(to_text(other)) +
                   "  (defined at " + run.place(found->second.span) + ")";
    }
    const std::string kind_word(to_text(kind));
    if (help.empty())
        help = names.empty() ? "nothing defines " + with_article(kind_word)
                             : "define it with [" +
                                   (kind == Kind::sign ? std::string("observation") : kind_word) +
                                   ".some-name], or take a name that is defined";
    run.error("unknown-" + kind_word, span, who + " " + std::string(role) + " that nothing defines",
              help);
    return std::nullopt;
}

const Setting* look_up_quantity(ReadRun& run, const std::string& name, const Span& span,
                                const std::string& who, std::string_view role) {
    if (const auto given = run.quantities.find(name); given != run.quantities.end())
        return &run.knowledge[given->second.setting];
    if (!run.whole) {
        ++run.missed;
        return nullptr;
    }
    std::vector<std::string> known;
    for (const auto& [quantity, given] : run.quantities)
        known.push_back(quantity);
    run.error("unknown-quantity", span,
              who + " " + std::string(role) + " a quantity that nothing gives",
              write_instead(run, name, known,
                            known.empty() ? "settings give quantities, with 'gives'"
                                          : "settings give " + some_of(known)));
    return nullptr;
}

void gather(ReadRun& run, const std::vector<const Node*>& trees) {
    for (const Node* tree : trees) {
        run.whole = run.whole && tree != nullptr;
        if (tree != nullptr)
            for (const Entry& top : tree->entries())
                gather_top(run, top);
    }
    if (run.manifest == nullptr && run.whole && !run.manifest_misspelt)
        run.error("no-manifest", {}, "no file has a [manifest]",
                  "begin manifest.toml with [manifest], name, version and format = 1");
    put_texts_in_order(run);
    ParentsFirst(run).sort();
    Knowledge& knowledge = run.knowledge;
    make_room(run, knowledge.settings, Kind::setting);
    make_room(run, knowledge.causes, Kind::cause);
    make_room(run, knowledge.signs, Kind::sign);
    make_room(run, knowledge.accesses, Kind::access);
    make_room(run, knowledge.cautions, Kind::caution);
    make_room(run, knowledge.tests, Kind::test);
    make_room(run, knowledge.repairs, Kind::repair);
    make_room(run, knowledge.refers, Kind::refer);
    make_room(run, knowledge.parts, Kind::part);
    make_room(run, knowledge.stops, Kind::stop);
    make_room(run, knowledge.practice, Kind::practice);
}

}  // namespace knockwell
