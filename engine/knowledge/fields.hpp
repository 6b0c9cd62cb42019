// knowledge/fields.hpp
//
// The keys of one table, asked for by name and type. Everything asked for is known; `finish`
// reports the rest as unknown, so the code that reads a key is the only list of keys.
#pragma once
#include "knowledge/reading.hpp"

#include <array>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace knockwell {

/// Numbers from `least` to `most`, both allowed.
struct NumberRange {
    double least = -1e9;
    double most = 1e9;
};
constexpr NumberRange any_number{};
constexpr NumberRange minutes_range{0, 1e5};
constexpr NumberRange factor_range{1, 1e3};  // give_or_take: 1 is exact
constexpr NumberRange above_zero{std::numeric_limits<double>::min(), 1e9};

/// A text at its place.
struct Word {
    Written text;
    Span span;
};

template <class T>
using Choices = std::vector<std::pair<std::string_view, T>>;

/// What a message calls a value: "'minutes' of test 'look'". It is put together only where there is
/// a message; until then it looks at its pieces, which therefore last as long as the call.
class What {
public:
    using Pieces = std::array<std::string_view, 4>;

    What(std::string_view text) : pieces_{text} {}
    What(const std::string& text) : pieces_{text} {}
    What(const char* text) : pieces_{text} {}
    explicit What(const Pieces& pieces) : pieces_(pieces) {}
    What(std::string_view before, std::string_view name, std::string_view after)
        : pieces_{before, name, after} {}
    What(std::string_view before, const What& rest) : pieces_{before}, rest_(&rest) {}
    What(std::string_view before, std::string_view name, std::string_view between, const What& rest)
        : pieces_{before, name, between}, rest_(&rest) {}

    [[nodiscard]] std::string text() const {
        std::string all;
        for (const What* part = this; part != nullptr; part = part->rest_)
            for (const std::string_view piece : part->pieces_)
                all += piece;
        return all;
    }

private:
    Pieces pieces_;
    const What* rest_ = nullptr;
};
inline std::string operator+(const What& what, const char* after) { return what.text() + after; }

// Values by themselves; `what` as above.
[[nodiscard]] std::optional<Written> as_text(ReadRun& run, const Node& node, const What& what);
[[nodiscard]] std::optional<double> as_number(ReadRun& run, const Node& node, const What& what,
                                              NumberRange range);
/// A count, a word of the manifest, or an exact number from 0 to 1 (bad-count, wrong-type).
[[nodiscard]] std::optional<Strength> as_strength(ReadRun& run, const Node& node, const What& what);
[[nodiscard]] std::vector<Word> as_words(ReadRun& run, const Node& node, const What& what);
/// Whether `node` is of that kind; otherwise wrong-type.
[[nodiscard]] bool is_kind(ReadRun& run, const Node& node, Node::Kind kind, const What& what);
/// Reports unknown-word for `word`, which must be one of `known`.
void unknown_word(ReadRun& run, const Word& word, const What& what,
                  const std::vector<std::string>& known);

template <class T>
std::optional<T> one_of(ReadRun& run, const Word& word, const What& what,
                        const Choices<T>& choices) {
    for (const auto& [text, value] : choices)
        if (text == word.text)
            return value;
    std::vector<std::string> known;
    for (const auto& [text, value] : choices)
        known.emplace_back(text);
    unknown_word(run, word, what, known);
    return std::nullopt;
}

enum class Must { may, must };

class Fields {
public:
    /// `who` is "cause 'waterlogged'"; `where` is told when a key is missing.
    Fields(ReadRun& run, const Node& table, const Span& where, std::string who);

    /// What is missing is told at the end, when it is known what was misspelt.
    ~Fields() { tell_missing(); }
    Fields(const Fields&) = delete;
    Fields& operator=(const Fields&) = delete;
    Fields(Fields&&) = delete;
    Fields& operator=(Fields&&) = delete;

    /// The entry of `key`, which is known from now on; nullptr where there is none (missing-key if
    /// it must).
    const Entry* entry(std::string_view key, Must must = Must::may);
    /// The same, and its value is of `kind` (wrong-type).
    const Entry* entry(std::string_view key, Node::Kind kind, Must must = Must::may);

    std::string text(std::string_view key, Must must = Must::may);
    std::optional<Word> word(std::string_view key, Must must = Must::may);
    std::vector<Word> words(std::string_view key, Must must = Must::may);
    /// A unit that a number can be typed in (unknown-unit).
    std::string unit(std::string_view key, Must must = Must::may);
    std::optional<double> number(std::string_view key, NumberRange range, Must must = Must::may);
    bool truth(std::string_view key);
    std::optional<Strength> strength(std::string_view key, Must must = Must::may);

    template <class T>
    T choice(std::string_view key, const Choices<T>& choices, T otherwise, Must must = Must::may) {
        const auto written = word(key, must);
        return written ? one_of(run_, *written, what(key), choices).value_or(otherwise) : otherwise;
    }
    template <class T>
    std::vector<T> choice_list(std::string_view key, const Choices<T>& choices) {
        std::vector<T> list;
        for (const Word& written : words(key))
            if (const auto value = one_of(run_, written, what(key), choices))
                list.push_back(*value);
        return list;
    }

    /// The ids of a list of names.
    template <class IdType>
    std::vector<IdType> ids(std::string_view key, Kind kind, std::string_view role,
                            Must must = Must::may) {
        std::vector<IdType> list;
        for (const Word& written : words(key, must))
            if (const auto index = look_up(run_, kind, written.text, written.span, who_, role))
                list.push_back(IdType(*index));
        return list;
    }
    /// The id of one name; invalid where there is none.
    template <class IdType>
    IdType id(std::string_view key, Kind kind, std::string_view role) {
        const auto written = word(key);
        if (!written)
            return {};
        const auto index = look_up(run_, kind, written->text, written->span, who_, role);
        return index ? IdType(*index) : IdType{};
    }

    /// `key` belongs to another kind of definition, or to another form of this one: reported with
    /// `why`.
    void refuse(std::string_view key, const std::string& why);

    /// Reports every key that nobody asked for. One that is a key misspelt which is missing is one
    /// mistake, and so is a header with a dot in its identifier, under which all is missing.
    void finish();

    /// "'minutes' of test 'look'"
    [[nodiscard]] What what(std::string_view key) const;
    [[nodiscard]] const std::string& who() const { return who_; }
    [[nodiscard]] const Span& where() const { return where_; }

private:
    [[nodiscard]] bool is_asked_for(std::string_view key) const;
    [[nodiscard]] bool is_dotted_header() const;
    void forget_missing(std::string_view misspelt);
    void tell_missing();

    ReadRun& run_;
    const Node& table_;
    Span where_;
    std::string who_;
    std::vector<std::string_view> known_;  // literals
    std::vector<std::string_view> refused_;
    std::vector<std::string_view> missing_;  // of those that must be there
};

/// Title (the identifier where it may be missing and is), note, basis, source, accept.
[[nodiscard]] Head read_head(Fields& fields, ReadRun& run, const Entry& entry, Must title);

/// `only_if`, `when`: all must hold. `hanging` is named as what hangs on the tables among them, or
/// empty.
[[nodiscard]] Conditions read_conditions(ReadRun& run, const Node& table, const std::string& who,
                                         const std::string& hanging = {});

/// { misses, false_alarm }; a side that is not written is that of `otherwise`.
[[nodiscard]] std::optional<Channel> read_channel(Fields& fields, ReadRun& run,
                                                  const Channel& otherwise, Must both);

/// Whether a choice, state, level or kind may be called that: bad-name otherwise.
bool check_value_name(ReadRun& run, const Word& name, const std::string& who);

/// What to do about a name that stands in a sub-table and is a key of the definition around it, as
/// it is where somebody writes a key on below [cause.worn-pump.shows]; empty where it is none.
[[nodiscard]] std::string cure_of_stray_key(std::string_view name);

/// The value of `sign` called `name` (Sign::value_name); unknown-level otherwise, but nothing for a
/// sign that is broken itself.
[[nodiscard]] std::optional<std::size_t> look_up_value(ReadRun& run, SignId sign, const Word& name,
                                                       const What& who);
/// The state of `setting` called `name`; unknown-choice otherwise.
[[nodiscard]] std::optional<std::size_t> look_up_state(ReadRun& run, SettingId setting,
                                                       const Word& name, const std::string& who);

/// How much of a sign something shows: a count for a flag, { level = count } otherwise. Problems
/// no-levels, needs-level, unknown-level, over-one.
[[nodiscard]] std::optional<Shows> read_levels_of(ReadRun& run, SignId id, const Node& node,
                                                  const What& what, const Span& where);

/// `worked_out`: which computation of the trade gives the reading, whose unit is `unit`. Problems
/// unknown-computation, bad-computation, unknown-quantity.
[[nodiscard]] std::optional<WorkedOut> read_worked_out(Fields& fields, ReadRun& run,
                                                       const std::string& unit);

/// Table name = count, for causes: `fixes`, `brought_on_by`, `may_bring`.
[[nodiscard]] std::vector<CauseStrength> read_cause_strengths(Fields& fields, ReadRun& run,
                                                              std::string_view key,
                                                              std::string_view role,
                                                              Must must = Must::may);

[[nodiscard]] const Choices<Basis>& basis_words();
[[nodiscard]] const Choices<Skill>& skill_words();
[[nodiscard]] const Choices<Licence>& licence_words();
[[nodiscard]] const Choices<Hazard>& hazard_words();

}  // namespace knockwell
