// The manifest, settings and plain tables.
#include "base/words.hpp"
#include "knowledge/fields.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <variant>

namespace knockwell {
namespace {

constexpr double row_slack = 1e-6;  // published tables are rounded to six digits or so

void read_words(ReadRun& run, const Node& table) {
    for (const Entry& entry : table.entries()) {
        const std::string what = "word '" + entry.key + "'";
        if (entry.key.find_first_of("0123456789") != std::string::npos || entry.key == "always" ||
            entry.key == "never") {
            run.error("bad-name", entry.key_span, what + " cannot stand for a count",
                      "a word has no digits, and is not always or never");
            continue;
        }
        if (const auto strength = as_strength(run, entry.value, what))
            run.knowledge.manifest.words[entry.key] = strength->count;
        else  // what uses the word is not wrong as well
            run.knowledge.manifest.words[entry.key] = Count{};
    }
}

void read_report(Fields& fields, ReadRun& run, std::string_view key, Channel& into) {
    const Entry* table = fields.entry(key, Node::Kind::table);
    if (table == nullptr)
        return;
    Fields channel(run, table->value, table->key_span, "'" + std::string(key) + "'");
    if (const auto read = read_channel(channel, run, Channel{}, Must::must))
        into = *read;
    channel.finish();
}

/// Table choice = count.
void read_choices(Fields& fields, ReadRun& run, Setting& setting) {
    const Entry* choices = fields.entry("choices", Node::Kind::table, Must::must);
    if (choices == nullptr)
        return;
    double sum = 0;
    for (const Entry& choice : choices->value.entries()) {
        check_value_name(run, {choice.key, choice.key_span}, fields.who());
        if (const std::string cure = cure_of_stray_key(choice.key); !cure.empty())
            run.error("bad-choice", choice.key_span,
                      fields.who() + " has a choice '" + choice.key + "'", cure);
        const auto strength =
            as_strength(run, choice.value, {"choice '", choice.key, "' of ", fields.who()});
        setting.states.push_back(choice.key);
        setting.prior.push_back(strength.value_or(Strength{{}, choice.value.span}));
        sum += strength ? strength->count.mean() : 1;
    }
    check_value_count(run, fields.who(), setting.states.size(), choices->value.span);
    if (setting.states.size() < 2)
        run.error("bad-choice", choices->value.span, fields.who() + " needs two choices or more",
                  "what is always so needs no setting");
    else if (sum <= 0)
        run.error("bad-choice", choices->value.span,
                  "every choice of " + fields.who() + " is 'never'", "one of them must be so");
}

/// The number at which each choice begins, in the order of the choices.
void read_starts(Fields& fields, ReadRun& run, Setting& setting) {
    const Entry* starts = fields.entry("starts", Node::Kind::table);
    if (starts == nullptr)
        return;
    std::vector<std::optional<double>> at(setting.states.size());
    bool misnamed = false;  // then the choice that was meant is missing, which is the same mistake
    for (const Entry& start : starts->value.entries()) {
        const auto value =
            as_number(run, start.value, {"the start of choice '", start.key, "'"}, any_number);
        const auto state = std::find(setting.states.begin(), setting.states.end(), start.key);
        if (state != setting.states.end()) {
            at[static_cast<std::size_t>(state - setting.states.begin())] = value.value_or(NAN);
            continue;
        }
        misnamed = true;
        run.error("unknown-choice", start.key_span,
                  fields.who() + " has no choice '" + start.key + "'",
                  write_instead(run, start.key, setting.states,
                                "its choices are " + some_of(setting.states)));
    }
    for (std::size_t state = 0; state < at.size(); ++state) {
        if (!at[state] && !misnamed)
            run.error("missing-key", starts->key_span,
                      fields.what("starts") + " does not say where choice '" +
                          setting.states[state] + "' begins");
        if (state > 0 && at[state] && at[state - 1] && *at[state] <= *at[state - 1])
            run.error("bad-choice", starts->key_span,
                      "choice '" + setting.states[state] + "' of " + fields.who() +
                          " does not begin above '" + setting.states[state - 1] + "'",
                      "the order of choices is the order of their starts");
        setting.starts.push_back(at[state].value_or(0));
    }
}

/// A quantity that is named for the first time.
void name_quantity(ReadRun& run, SettingId id, const Entry& quantity) {
    run.quantities[quantity.key] = {id, quantity.key_span};
    if (!is_identifier(quantity.key))
        run.error("bad-id", quantity.key_span, "'" + quantity.key + "' is no identifier",
                  std::string(identifier_rule));
    const auto namesake = find(run, Kind::setting, quantity.key);
    if ((namesake && *namesake != id.index()) || find(run, Kind::sign, quantity.key))
        run.error("duplicate-id", quantity.key_span,
                  "quantity '" + quantity.key + "' has a name that is taken",
                  "quantities share their names with other settings, tables and signs");
}

/// The numbers that one choice gives. A quantity of another setting is told once, and not kept.
void read_given(Fields& fields, ReadRun& run, SettingId id, std::size_t state, const Entry& choice,
                std::set<std::string>& foreign) {
    Setting& setting = run.knowledge.settings[id.index()];
    for (const Entry& quantity : choice.value.entries()) {
        const auto value =
            as_number(run, quantity.value, {"'", quantity.key, "' of ", fields.who()}, any_number);
        const auto known = run.quantities.find(quantity.key);
        if (known == run.quantities.end()) {
            name_quantity(run, id, quantity);
        } else if (known->second.setting != id) {
            if (foreign.insert(quantity.key).second)
                run.error("duplicate-id", quantity.key_span,
                          "quantity '" + quantity.key + "' is given by two settings", "",
                          {{known->second.span, "the first one"}});
            continue;
        }
        setting.gives[state][quantity.key] = value.value_or(0);
    }
}

void read_gives(Fields& fields, ReadRun& run, SettingId id) {
    const Entry* gives = fields.entry("gives", Node::Kind::table);
    if (gives == nullptr)
        return;
    Setting& setting = run.knowledge.settings[id.index()];
    setting.gives.resize(setting.states.size());
    std::vector<const Entry*> written(setting.states.size(), nullptr);
    std::set<std::string> foreign;
    bool misnamed = false;
    for (const Entry& choice : gives->value.entries()) {
        const auto state = look_up_state(run, id, {choice.key, choice.key_span}, fields.who());
        if (!state || !is_kind(run, choice.value, Node::Kind::table,
                               {"what choice '", choice.key, "' gives"})) {
            misnamed = true;
            continue;
        }
        written[*state] = &choice;
        read_given(fields, run, id, *state, choice, foreign);
    }
    std::set<std::string> own;
    for (const auto& given : setting.gives)
        for (const auto& [quantity, value] : given)
            own.insert(quantity);
    for (const std::string& quantity : own) {
        for (std::size_t state = 0; state < written.size(); ++state)
            if (!setting.gives[state].contains(quantity) &&
                (written[state] != nullptr || !misnamed))
                run.error("missing-key",
                          written[state] != nullptr ? written[state]->key_span : gives->key_span,
                          "choice '" + setting.states[state] + "' of " + fields.who() +
                              " gives no '" + quantity + "'",
                          "each choice gives the same quantities");
    }
}

void read_also(Fields& fields, ReadRun& run, SettingId id) {
    const Entry* also = fields.entry("also", Node::Kind::table);
    if (also == nullptr)
        return;
    Setting& setting = run.knowledge.settings[id.index()];
    setting.also.resize(setting.states.size());
    for (const Entry& choice : also->value.entries())
        if (const auto state = look_up_state(run, id, {choice.key, choice.key_span}, fields.who()))
            for (const Word& word :
                 as_words(run, choice.value, {"other words for '", choice.key, "'"}))
                setting.also[*state].push_back(word.text);
}

/// Two numbers, ascending; otherwise bad-range, or what is wrong with one of them.
std::optional<Bounds> read_bounds(ReadRun& run, const Entry& entry, const std::string& what) {
    if (!is_kind(run, entry.value, Node::Kind::array, what))
        return std::nullopt;
    std::vector<double> ends;
    for (const Node& item : entry.value.items())
        if (const auto end = as_number(run, item, what, any_number))
            ends.push_back(*end);
        else
            return std::nullopt;
    if (ends.size() == 2 && ends[0] < ends[1])
        return Bounds{ends[0], ends[1]};
    run.error("bad-range", entry.value.span, what + " is no range",
              "write the least and the most that it can be: [10, 80]");
    return std::nullopt;
}

/// What a quantity of `gives` can be where it is typed.
void read_range(Fields& fields, ReadRun& run, SettingId id) {
    const Entry* range = fields.entry("range", Node::Kind::table);
    if (range == nullptr)
        return;
    Setting& setting = run.knowledge.settings[id.index()];
    std::vector<std::string> given;
    if (!setting.gives.empty())
        for (const auto& [quantity, value] : setting.gives.front())
            given.push_back(quantity);
    for (const Entry& entry : range->value.entries()) {
        if (std::find(given.begin(), given.end(), entry.key) == given.end()) {
            run.error("unknown-quantity", entry.key_span,
                      fields.who() + " gives no quantity '" + entry.key + "'",
                      given.empty()
                          ? "a range is that of a quantity in 'gives'"
                          : write_instead(run, entry.key, given, "it gives " + some_of(given)));
            continue;
        }
        const auto bounds =
            read_bounds(run, entry, "the range of '" + entry.key + "' of " + fields.who());
        if (!bounds)
            continue;
        setting.range[entry.key] = *bounds;
        for (std::size_t state = 0; state < setting.gives.size(); ++state) {
            const auto value = setting.gives[state].find(entry.key);
            if (value == setting.gives[state].end() ||
                (value->second >= bounds->least && value->second <= bounds->most))
                continue;
            run.error("bad-range", entry.value.span,
                      "choice '" + setting.states[state] + "' gives '" + entry.key + "' as " +
                          number(value->second) + ", outside of its range",
                      "a range holds what every choice gives");
        }
    }
}

/// "row 3 (pump = jet, worn = yes)"
std::string row_called(const Knowledge& knowledge, const Setting& table, std::size_t row) {
    std::vector<std::string> states(table.parents.size());
    std::size_t rest = row;
    for (std::size_t i = table.parents.size(); i-- > 0;) {
        if (const auto* setting = std::get_if<SettingId>(&table.parents[i])) {
            const Setting& parent = knowledge[*setting];
            states[i] = parent.head.id + " = " + parent.states[rest % parent.states.size()];
            rest /= parent.states.size();
        } else {
            const Cause& parent = knowledge[std::get<CauseId>(table.parents[i])];
            states[i] = parent.head.id + " = " + (rest % 2 == 1 ? "yes" : "no");
            rest /= 2;
        }
    }
    std::string all;
    for (const std::string& state : states) {
        all += all.empty() ? " (" : ", ";
        all += state;
    }
    return "row " + std::to_string(row + 1) + (all.empty() ? "" : all + ")");
}

std::optional<std::vector<double>> read_row(ReadRun& run, const Setting& table, const Node& node,
                                            const std::string& what) {
    std::vector<double> row;
    if (!is_kind(run, node, Node::Kind::array, what))
        return std::nullopt;
    for (const Node& item : node.items()) {
        const auto value = as_number(run, item, {"a number of ", what}, {0, 1});
        if (!value)
            return std::nullopt;
        row.push_back(*value);
    }
    if (row.size() != table.states.size()) {
        run.error("bad-table", node.span,
                  what + " has " + number(static_cast<double>(row.size())) + " numbers for " +
                      number(static_cast<double>(table.states.size())) + " states");
        return std::nullopt;
    }
    double sum = 0;
    for (const double value : row)
        sum += value;
    if (std::abs(sum - 1) > row_slack) {
        run.error("bad-table", node.span, what + " sums to " + number(sum) + ", not to 1");
        return std::nullopt;
    }
    for (double& value : row)
        value /= sum;
    return row;
}

}  // namespace

void read_manifest(ReadRun& run) {
    Manifest& manifest = run.knowledge.manifest;
    if (run.manifest != nullptr && run.manifest->value.kind == Node::Kind::table) {
        Fields fields(run, run.manifest->value, run.manifest->key_span, "the manifest");
        manifest.name = fields.text("name", Must::must);
        manifest.version = fields.text("version", Must::must);
        manifest.basis = fields.choice("basis", basis_words(), Basis::none);
        const Entry* format = fields.entry("format", Node::Kind::number, Must::must);
        if (format != nullptr && format->value.number != 1)
            run.error("bad-format", format->value.span,
                      "format " + number(format->value.number) + " is not known here",
                      "this program reads format 1");
        fields.finish();
    }
    if (run.words != nullptr && run.words->value.kind == Node::Kind::table)
        read_words(run, run.words->value);
    if (run.reports != nullptr && run.reports->value.kind == Node::Kind::table) {
        Fields fields(run, run.reports->value, run.reports->key_span, "[reports]");
        read_report(fields, run, "told", manifest.told);
        read_report(fields, run, "looked", manifest.looked);
        fields.finish();
    }
}

void read_setting(ReadRun& run, const Definition& definition) {
    const Entry& entry = *definition.entry;
    Setting& setting = run.knowledge.settings[definition.index];
    Fields fields(run, entry.value, entry.key_span, called("setting", entry.key));
    setting.head = read_head(fields, run, entry, Must::must);
    setting.ask = fields.text("ask");
    setting.unit = fields.unit("unit");
    const std::size_t before = run.errors;
    read_choices(fields, run, setting);
    if (run.errors > before)
        run.shapeless.emplace(Kind::setting, definition.index);
    if (setting.states.empty()) {
        (void)fields.entry("starts");
        (void)fields.entry("gives");
        (void)fields.entry("also");
        (void)fields.entry("range");
    } else {
        read_starts(fields, run, setting);
        read_gives(fields, run, SettingId(definition.index));
        read_also(fields, run, SettingId(definition.index));
        read_range(fields, run, SettingId(definition.index));
    }
    setting.passing = fields.truth("passing");
    setting.minutes = fields.number("minutes", minutes_range).value_or(1);
    setting.skill = fields.choice("skill", skill_words(), Skill::owner);
    setting.at = fields.id<AccessId>("at", Kind::access, "is asked at an access");
    setting.cautions = fields.ids<CautionId>("cautions", Kind::caution, "names a caution");
    fields.finish();
}

void read_table(ReadRun& run, const Definition& definition) {
    const Entry& entry = *definition.entry;
    Setting& table = run.knowledge.settings[definition.index];
    Fields fields(run, entry.value, entry.key_span, called("table", entry.key));
    table.table = true;
    table.head = read_head(fields, run, entry, Must::may);
    const std::size_t before = run.errors;
    for (const Word& state : fields.words("states", Must::must)) {
        check_value_name(run, state, fields.who());
        table.states.push_back(state.text);
    }
    if (const Entry* states = fields.entry("states"))
        check_value_count(run, fields.who(), table.states.size(), states->value.span);
    if (run.errors == before && table.states.size() < 2)
        run.error("bad-choice", fields.entry("states")->value.span,
                  fields.who() + " needs two states or more");
    if (run.errors > before)
        run.shapeless.emplace(Kind::setting, definition.index);
    for (const Word& parent : fields.words("given")) {
        const auto cause = find(run, Kind::cause, parent.text);
        const auto setting = cause && !find(run, Kind::setting, parent.text)
                                 ? std::nullopt
                                 : look_up(run, Kind::setting, parent.text, parent.span,
                                           fields.who(), "is given a setting, table or cause");
        if (setting)
            table.parents.emplace_back(SettingId(*setting));
        else if (cause)
            table.parents.emplace_back(CauseId(*cause));
        else
            run.shapeless.emplace(Kind::setting, definition.index);
        if (setting || cause)
            run.links.push_back({fields.who(), called(setting ? "table" : "cause", parent.text),
                                 fields.who() + " is given '" + parent.text + "'", parent.span});
    }
    (void)fields.entry("rows", Must::must);
    fields.finish();
}

void read_rows(ReadRun& run, const Definition& definition) {
    if (definition.word != "table")
        return;
    const Entry& entry = *definition.entry;
    Setting& table = run.knowledge.settings[definition.index];
    const std::string who = called("table", entry.key);
    const Held<Entry> keys = entry.value.entries();
    const auto rows =
        std::find_if(keys.begin(), keys.end(), [](const Entry& key) { return key.key == "rows"; });
    bool shaped = !run.shapeless.contains({Kind::setting, definition.index});
    double wanted = 1;
    for (const auto& parent : table.parents) {
        const auto* setting = std::get_if<SettingId>(&parent);
        if (setting != nullptr && run.shapeless.contains({Kind::setting, setting->index()}))
            shaped = false;
        wanted *=
            setting == nullptr ? 2 : static_cast<double>(run.knowledge[*setting].states.size());
    }
    if (rows == keys.end() || !shaped ||
        !is_kind(run, rows->value, Node::Kind::array, "'rows' of " + who))
        return;
    const auto written = static_cast<double>(rows->value.items().size());
    if (written != wanted) {
        run.error("bad-table", rows->key_span,
                  who + " needs " + number(wanted) + (wanted == 1 ? " row" : " rows") +
                      " and has " + number(written),
                  "one row for each combination of what it is given, the first of them slowest");
        return;
    }
    std::size_t row = 0;
    for (const Node& item : rows->value.items())
        if (auto read =
                read_row(run, table, item, row_called(run.knowledge, table, row++) + " of " + who))
            table.rows.push_back(std::move(*read));
}

}  // namespace knockwell
