#include "ledger/sheet_map.hpp"

#include "base/words.hpp"
#include "job/vocabulary.hpp"
#include "knowledge/tree.hpp"

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

namespace knockwell {
namespace {

struct FieldWord {
    std::string_view word;
    SheetField field;
    bool takes_of;  // "set pump"
    bool needs_of;
    bool many;  // may stand for several columns
};

constexpr std::array field_words = {
    FieldWord{"skip", SheetField::skip, false, false, true},
    FieldWord{"number", SheetField::number, false, false, false},
    FieldWord{"opened", SheetField::opened, false, false, false},
    FieldWord{"area", SheetField::area, false, false, false},
    FieldWord{"installation", SheetField::installation, false, false, false},
    FieldWord{"set", SheetField::set, true, true, true},
    FieldWord{"said", SheetField::said, true, false, true},
    FieldWord{"found", SheetField::found, true, false, true},
    FieldWord{"did", SheetField::did, false, false, true},
    FieldWord{"minutes", SheetField::minutes, false, false, false},
    FieldWord{"cause", SheetField::cause, false, false, true},
    FieldWord{"how-sure", SheetField::how_sure, false, false, false},
    FieldWord{"outcome", SheetField::outcome, false, false, false},
    FieldWord{"call-back-of", SheetField::call_back_of, false, false, false},
    FieldWord{"note", SheetField::note, false, false, true},
};

std::vector<std::string> all_field_words() {
    std::vector<std::string> words;
    for (const FieldWord& one : field_words)
        words.emplace_back(one.word);
    return words;
}

const FieldWord& word_of(SheetField field) {
    return *std::find_if(field_words.begin(), field_words.end(),
                         [&](const FieldWord& one) { return one.field == field; });
}

class MapReader {
public:
    [[nodiscard]] std::variant<SheetMap, std::vector<Problem>> read(const Source& source) {
        const auto tree = parse_tree(source, 0, room_, problems_);
        if (tree) {
            for (const Entry& entry : tree->entries())
                top(entry);
            end();
        }
        if (!problems_.empty()) {
            put_in_order(problems_);
            return std::move(problems_);
        }
        return std::move(map_);
    }

private:
    void problem(const char* code, Span span, std::string says, std::string help) {
        problems_.push_back({Severity::error, code, span, std::move(says), std::move(help), {}});
    }

    void top(const Entry& entry) {
        if (entry.key == "columns" || entry.key == "values")
            return entry.value.kind == Node::Kind::table
                       ? table(entry)
                       : problem("wrong-type", entry.value.span,
                                 std::string(entry.key) + " is a table",
                                 "[" + std::string(entry.key) + "]");
        const std::vector<std::string> keys = {"separator", "dates",   "how-sure",
                                               "outcome",   "columns", "values"};
        const std::string key = entry.key;
        if (std::find(keys.begin(), keys.end(), key) == keys.end())
            return problem("unknown-key", entry.key_span, "'" + key + "' is no key of a mapping",
                           list_of(keys, "or"));
        if (entry.value.kind != Node::Kind::text)
            return problem("wrong-type", entry.value.span, key + " is a text", "");
        word(entry);
    }

    void word(const Entry& entry) {
        const std::string text = entry.value.text;
        if (entry.key == "separator") {
            if (text != "," && text != ";" && text != "\t")
                problem("unknown-word", entry.value.span, R"(cells are parted by ",", ";" or "\t")",
                        "");
            else
                map_.separator = text.front();
        }
        if (entry.key == "dates")
            dates(entry);
        if (entry.key == "how-sure")
            map_.how_sure = one_of(entry.value, ways_to_know());
        if (entry.key == "outcome")
            map_.outcome = one_of(entry.value, ways_to_close());
    }

    void dates(const Entry& entry) {
        const std::vector<std::string> orders = {"year-month-day", "month/day/year",
                                                 "day.month.year"};
        const std::string which = one_of(entry.value, orders);
        map_.dates = which == orders[1]   ? SheetDates::month_day_year
                     : which == orders[2] ? SheetDates::day_month_year
                                          : SheetDates::year_month_day;
    }

    std::string one_of(const Node& node, const std::vector<std::string>& words) {
        std::string text = node.text;
        if (std::find(words.begin(), words.end(), text) == words.end())
            problem("unknown-word", node.span, none_of_these(text, words), "");
        return text;
    }

    void table(const Entry& entry) {
        for (const Entry& one : entry.value.entries()) {
            if (entry.key == "columns")
                column(one);
            else
                values(one);
        }
    }

    void column(const Entry& entry) {
        if (entry.value.kind != Node::Kind::text)
            return problem("wrong-type", entry.value.span, "what a column is, is a text",
                           list_of(all_field_words(), "or"));
        const std::string text = entry.value.text;
        const std::size_t blank = text.find(' ');
        const std::string first = text.substr(0, blank);
        const std::string of = blank == std::string::npos ? "" : text.substr(blank + 1);
        const auto* const word =
            std::find_if(field_words.begin(), field_words.end(),
                         [&](const FieldWord& one) { return one.word == first; });
        if (word == field_words.end())
            return problem("unknown-word", entry.value.span,
                           none_of_these(first, all_field_words()), "");
        if (!of.empty() && !word->takes_of)
            return problem("unknown-word", entry.value.span,
                           "nothing stands behind '" + first + "'", first);
        if (of.empty() && word->needs_of)
            return problem("missing-key", entry.value.span, "which setting?", "set pump");
        if (!word->many && has(word->field))
            return problem("said-twice", entry.value.span, "another column is '" + first + "' too",
                           "");
        map_.columns.push_back({std::string(entry.key), word->field, of, {}});
    }

    [[nodiscard]] bool has(SheetField field) const {
        return std::any_of(map_.columns.begin(), map_.columns.end(),
                           [&](const SheetColumn& one) { return one.field == field; });
    }

    void values(const Entry& entry) {
        if (entry.value.kind != Node::Kind::table)
            return problem("wrong-type", entry.value.span, "the meanings of cells are a table", "");
        auto& into = values_[std::string(entry.key)];
        into.first = entry.key_span;
        for (const Entry& one : entry.value.entries()) {
            if (one.value.kind != Node::Kind::text)
                problem("wrong-type", one.value.span, "what a cell means is a text", "");
            into.second[std::string(one.key)] = std::string(one.value.text);
        }
    }

    void end() {
        for (auto& [name, meanings] : values_) {
            const std::string& wanted = name;
            const auto column =
                std::find_if(map_.columns.begin(), map_.columns.end(),
                             [&](const SheetColumn& one) { return one.name == wanted; });
            if (column == map_.columns.end())
                problem("unknown-key", meanings.first, "no column is called '" + name + "'",
                        "one of [columns]");
            else
                column->values = std::move(meanings.second);
        }
        const Span nowhere;
        for (const SheetField field : {SheetField::opened, SheetField::installation})
            if (!has(field))
                problem("missing-key", nowhere,
                        "no column is '" + std::string(word_of(field).word) + "'", "");
        if (!has(SheetField::outcome) && map_.outcome.empty())
            problem("missing-key", nowhere, "no column is 'outcome'",
                    "outcome = \"cured\", for all");
        if (has(SheetField::call_back_of) && !has(SheetField::number))
            problem("missing-key", nowhere,
                    "call-backs are named by number, and no column is 'number'", "");
    }

    TreeRoom room_;
    SheetMap map_;
    std::vector<Problem> problems_;
    std::map<std::string, std::pair<Span, std::map<std::string, std::string>>> values_;
};

}  // namespace

std::variant<SheetMap, std::vector<Problem>> read_sheet_map(const Source& source) {
    return MapReader().read(source);
}

}  // namespace knockwell
