#include "knowledge/fields.hpp"

#include "base/nearest.hpp"
#include "base/quantity.hpp"
#include "base/words.hpp"
#include "knowledge/slips.hpp"

#include <algorithm>
#include <variant>

namespace knockwell {
namespace {

std::string_view kind_text(Node::Kind kind) {
    switch (kind) {
    case Node::Kind::text:
        return "a text";
    case Node::Kind::number:
        return "a number";
    case Node::Kind::truth:
        return "true or false";
    case Node::Kind::array:
        return "an array";
    case Node::Kind::table:
        return "a table";
    case Node::Kind::other:
        return "a date or a time";
    }
    return "";
}

/// The words that a text without a digit might have meant. A count that is wrong says itself how.
std::string count_help(const ReadRun& run, const std::string& text) {
    if (const std::string meant = count_meant(text); !meant.empty())
        return "write instead: \"" + meant + "\"";
    if (text.find_first_of("0123456789") != std::string::npos)
        return {};
    std::vector<std::string> words{"always", "never"};
    for (const auto& [word, count] : run.knowledge.manifest.words)
        words.push_back(word);
    return write_instead(run, text, words, "or it is one of the words " + some_of(words));
}

/// Short enough to be said again, and nothing in it that would need a \\ before it.
bool fits_in_quotes(std::string_view text) {
    constexpr std::size_t short_enough = 60;
    return text.size() <= short_enough && text.find_first_of("\"\\\r\n\t") == std::string::npos;
}

std::string in_double_quotes(std::string_view text) { return "\"" + std::string(text) + "\""; }

/// The first of the names in a table or an array of texts, between `before` and `behind`:
/// "surging = ..., dull = ..."; empty where one is no short name.
template <class Things, class Name>
std::string first_of(const Things& things, const Name& name, const std::string& before,
                     const std::string& behind) {
    constexpr std::size_t most = 3;
    std::string all;
    std::size_t said = 0;
    for (const auto& thing : things) {
        const std::string_view text = name(thing);
        if (text.empty() || !fits_in_quotes(text))
            return {};
        if (said++ == most)
            return all + ", ...";
        all += (all.empty() ? "" : ", ") + before + std::string(text) + behind;
    }
    return all;
}

std::string table_help(const Node& node) {
    const std::string names = first_of(
        node.items(), [](const Node& item) { return item.text; }, "", " = ...");
    const auto items = node.items();
    const bool keys = std::none_of(items.begin(), items.end(), [](const Node& item) {
        return item.text.find(' ') != std::string_view::npos;
    });
    if (!names.empty() && keys)
        return "give each its value: { " + names + " }";
    const std::string_view text = node.text;
    const std::size_t equals = text.find('=');
    if (equals != std::string_view::npos && fits_in_quotes(text)) {
        const std::string_view key = trimmed(text.substr(0, equals), " ");
        const std::string_view value = trimmed(text.substr(equals + 1), " ");
        if (!key.empty() && !value.empty() && key.find_first_of(" ><") == std::string_view::npos)
            return "write instead: { " + std::string(key) + " = " + in_double_quotes(value) + " }";
    }
    return "a table stands between braces: { name = value }";
}

std::string text_help(const Node& node) {
    if (node.kind == Node::Kind::number)
        return "a text stands between double quotes: \"" + number(node.number) + "\"";
    if (node.kind == Node::Kind::truth)
        return R"(a text stands between double quotes, such as "yes" or "off")";
    if (node.items().size() == 1 && fits_in_quotes(node.items().begin()->text) &&
        !node.items().begin()->text.empty())
        return "write instead: " + in_double_quotes(node.items().begin()->text);
    return "it takes one text, between double quotes";
}

/// How to write what was meant, where that is plain to see.
std::string type_help(const Node& node, Node::Kind wanted) {
    if (wanted == Node::Kind::array && node.kind == Node::Kind::text)
        return fits_in_quotes(node.text) ? "write instead: [" + in_double_quotes(node.text) + "]"
                                         : R"(put it between brackets: ["..."])";
    if (wanted == Node::Kind::array && node.kind == Node::Kind::table)
        return "put it between brackets: [{ ... }]";
    if (wanted == Node::Kind::table)
        return table_help(node);
    if (wanted == Node::Kind::text)
        return text_help(node);
    if (wanted == Node::Kind::number && node.kind == Node::Kind::text)
        return "a number stands without quotes and without a unit";
    if (wanted == Node::Kind::truth && node.kind == Node::Kind::text)
        return "write true or false, without quotes";
    return {};
}

bool is_kind_or(ReadRun& run, const Node& node, Node::Kind kind, const What& what,
                std::string (*help)(const Node&, Node::Kind)) {
    if (node.kind == kind)
        return true;
    run.error("wrong-type", node.span,
              what + " must be " + std::string(kind_text(kind)) + ", not " +
                  std::string(kind_text(node.kind)),
              help(node, kind));
    return false;
}

/// Where names are wanted a table has them before its values.
std::string names_help(const Node& node, Node::Kind wanted) {
    const std::string names = first_of(
        node.entries(), [](const Entry& entry) { return entry.key; }, "\"", "\"");
    return names.empty() ? type_help(node, wanted) : "it takes names alone: [" + names + "]";
}

}  // namespace

bool is_kind(ReadRun& run, const Node& node, Node::Kind kind, const What& what) {
    return is_kind_or(run, node, kind, what, type_help);
}

std::optional<Written> as_text(ReadRun& run, const Node& node, const What& what) {
    if (!is_kind(run, node, Node::Kind::text, what))
        return std::nullopt;
    if (node.text.find_first_not_of(" \t\r\n") == std::string::npos) {
        run.error("empty-text", node.span, what + " is empty");
        return std::nullopt;
    }
    return node.text;
}

std::optional<double> as_number(ReadRun& run, const Node& node, const What& what,
                                NumberRange range) {
    if (!is_kind(run, node, Node::Kind::number, what))
        return std::nullopt;
    // nan is in no range, so the comparison is written this way round.
    if (node.number >= range.least && node.number <= range.most)
        return node.number;
    const bool positive = range.least > 0 && range.least < 1e-300;
    run.error("bad-number", node.span, what + " cannot be " + number(node.number),
              positive
                  ? "it is a number above 0, at most " + number(range.most)
                  : "it is a number from " + number(range.least) + " to " + number(range.most));
    return std::nullopt;
}

std::optional<Strength> as_strength(ReadRun& run, const Node& node, const What& what) {
    if (node.kind == Node::Kind::number) {
        if (node.number >= 0 && node.number <= 1)
            return Strength{{Count::Kind::exact, node.number, 1}, node.span};
        run.error("bad-count", node.span, what + " cannot be " + number(node.number),
                  "a number is an exact probability from 0 to 1; a count is \"9 in 10\"");
        return std::nullopt;
    }
    if (node.kind != Node::Kind::text) {
        run.error("wrong-type", node.span,
                  what + " must be a count, not " + std::string(kind_text(node.kind)),
                  R"(a count is "9 in 10", "always", "never" or a word of [words])");
        return std::nullopt;
    }
    const auto& words = run.knowledge.manifest.words;
    if (const auto word = words.find(node.text); word != words.end())
        return Strength{word->second, node.span};
    const auto count = parse_count(node.text);
    if (const auto* good = std::get_if<Count>(&count))
        return Strength{*good, node.span};
    const bool may_be_word = node.text.find_first_of("0123456789") == std::string::npos;
    if (may_be_word && !run.whole)
        ++run.missed;
    else
        run.error("bad-count", node.span, what + " is no count: " + std::get<std::string>(count),
                  count_help(run, node.text));
    return std::nullopt;
}

std::vector<Word> as_words(ReadRun& run, const Node& node, const What& what) {
    std::vector<Word> words;
    if (!is_kind_or(run, node, Node::Kind::array, what, names_help))
        return words;
    std::map<std::string_view, Span> first;
    for (const Node& item : node.items()) {
        const auto text = as_text(run, item, {"an item of ", what});
        if (!text)
            continue;
        const auto [same, is_new] = first.emplace(*text, item.span);
        if (is_new)
            words.push_back({*text, item.span});
        else
            run.error("said-twice", item.span, what + " says '" + *text + "' twice",
                      "take one of them out", {{same->second, "the first one"}});
    }
    return words;
}

void unknown_word(ReadRun& run, const Word& word, const What& what,
                  const std::vector<std::string>& known) {
    const std::string all = known.size() == 1 ? "it can only be " + known.front()
                                              : "it is one of " + list_of(known, "or");
    run.error("unknown-word", word.span, what + " cannot be '" + word.text + "'",
              write_instead(run, word.text, known, all));
}

Fields::Fields(ReadRun& run, const Node& table, const Span& where, std::string who)
    : run_(run), table_(table), where_(where), who_(std::move(who)) {
    constexpr std::size_t most_kinds_have = 24;
    known_.reserve(most_kinds_have);
}

What Fields::what(std::string_view key) const {
    return What(What::Pieces{"'", key, "' of ", who_});
}

const Entry* Fields::entry(std::string_view key, Must must) {
    if (std::find(known_.begin(), known_.end(), key) == known_.end())
        known_.push_back(key);
    for (const Entry& entry : table_.entries())
        if (entry.key == key)
            return &entry;
    if (must == Must::must)
        missing_.push_back(key);
    return nullptr;
}

const Entry* Fields::entry(std::string_view key, Node::Kind kind, Must must) {
    const Entry* found = entry(key, must);
    if (found == nullptr || !is_kind(run_, found->value, kind, what(key)))
        return nullptr;
    return found;
}

std::optional<Word> Fields::word(std::string_view key, Must must) {
    const Entry* found = entry(key, must);
    if (found == nullptr)
        return std::nullopt;
    const auto text = as_text(run_, found->value, what(key));
    if (!text)
        return std::nullopt;
    return Word{*text, found->value.span};
}

std::string Fields::text(std::string_view key, Must must) {
    const auto written = word(key, must);
    return written ? std::string(written->text) : std::string();
}

std::string Fields::unit(std::string_view key, Must must) {
    const auto written = word(key, must);
    if (!written)
        return {};
    if (!known_unit(written->text))
        run_.error("unknown-unit", written->span,
                   what(key) + " cannot be '" + written->text + "', no unit that is known",
                   write_instead(run_, written->text, unit_spellings(),
                                 "write one such as psi, gpm, V, ohm, mg/L or percent"));
    return std::string(written->text);
}

std::vector<Word> Fields::words(std::string_view key, Must must) {
    const Entry* found = entry(key, must);
    return found == nullptr ? std::vector<Word>() : as_words(run_, found->value, what(key));
}

std::optional<double> Fields::number(std::string_view key, NumberRange range, Must must) {
    const Entry* found = entry(key, must);
    return found == nullptr ? std::nullopt : as_number(run_, found->value, what(key), range);
}

bool Fields::truth(std::string_view key) {
    const Entry* found = entry(key, Node::Kind::truth);
    return found != nullptr && found->value.truth;
}

std::optional<Strength> Fields::strength(std::string_view key, Must must) {
    const Entry* found = entry(key, must);
    return found == nullptr ? std::nullopt : as_strength(run_, found->value, what(key));
}

void Fields::refuse(std::string_view key, const std::string& why) {
    for (const Entry& entry : table_.entries())
        if (entry.key == key)
            run_.error("unknown-key", entry.key_span, who_ + " takes no '" + std::string(key) + "'",
                       why);
    refused_.push_back(key);
}

bool Fields::is_asked_for(std::string_view key) const {
    return std::find(known_.begin(), known_.end(), key) != known_.end() ||
           std::find(refused_.begin(), refused_.end(), key) != refused_.end();
}

/// [cause.worn.pump]: nothing but tables that no key is.
bool Fields::is_dotted_header() const {
    const auto entries = table_.entries();
    return !entries.empty() && std::all_of(entries.begin(), entries.end(), [&](const Entry& entry) {
        return entry.value.kind == Node::Kind::table && !entry.value.closed &&
               !is_asked_for(entry.key);
    });
}

void Fields::forget_missing(std::string_view misspelt) {
    if (missing_.empty() || run_.errors >= most_helped)
        return;
    const std::vector<std::string> near =
        nearest(misspelt, std::vector<std::string>(missing_.begin(), missing_.end()));
    std::erase_if(missing_, [&](std::string_view key) {
        return std::find(near.begin(), near.end(), key) != near.end();
    });
}

void Fields::tell_missing() {
    for (const std::string_view key : missing_)
        if (run_.continued.contains({who_, std::string(key)}))
            ++run_.missed;
        else
            run_.error("missing-key", where_, who_ + " needs '" + std::string(key) + "'");
    missing_.clear();
}

void Fields::finish() {
    const bool dotted = is_dotted_header();
    if (dotted)
        missing_.clear();
    const std::vector<std::string> known(known_.begin(), known_.end());
    for (const Entry& entry : table_.entries()) {
        if (is_asked_for(entry.key))
            continue;
        forget_missing(entry.key);
        run_.error("unknown-key", entry.key_span, who_ + " takes no '" + entry.key + "'",
                   dotted ? "an identifier has no dot in it; a dot goes before a key"
                          : write_instead(run_, entry.key, known, "it takes " + list_of(known)));
    }
    tell_missing();
}

}  // namespace knockwell
