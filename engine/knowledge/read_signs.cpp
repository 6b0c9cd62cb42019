// Symptoms and observations.
#include "base/quantity.hpp"
#include "base/words.hpp"
#include "knowledge/fields.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace knockwell {
namespace {

/// Names of one side, outward from normal; none twice in the sign.
std::vector<std::string> read_side(ReadRun& run, const std::vector<Word>& words,
                                   const std::string& who, std::map<std::string, Span>& all) {
    std::vector<std::string> side;
    for (const Word& word : words) {
        const auto [same, is_new] = all.emplace(word.text, word.span);
        if (!is_new) {
            run.error("said-twice", word.span, who + " says '" + word.text + "' twice",
                      "take one of them out", {{same->second, "the first one"}});
            continue;
        }
        check_value_name(run, word, who);
        side.push_back(word.text);
    }
    return side;
}

/// In a plain array the normal level has no place. False where it stands there.
bool leaves_normal_out(ReadRun& run, const Node& levels, const Sign& sign, const std::string& who) {
    for (const Node& item : levels.items())
        if (item.text == sign.normal) {
            run.error("said-twice", item.span,
                      who + " names '" + sign.normal + "' among the levels that go out from it",
                      "take it out; where levels go out on both sides of it: levels = { low = "
                      "[...], high = [...] }");
            return false;
        }
    return true;
}

/// The name of the normal level, which no other may have.
std::map<std::string, Span> read_normal(Fields& fields, ReadRun& run, const Entry& levels,
                                        Sign& sign, const std::string& who) {
    const auto normal = fields.word("normal");
    sign.normal = normal ? std::string(normal->text) : "normal";
    const Span span = normal ? normal->span : levels.key_span;
    check_value_name(run, {sign.normal, span}, who);
    return {{sign.normal, span}};
}

void read_two_sided(Fields& fields, ReadRun& run, const Entry& levels, Sign& sign) {
    Fields sides(run, levels.value, levels.key_span, fields.what("levels").text());
    std::map<std::string, Span> all = read_normal(sides, run, levels, sign, fields.who());
    sign.low = read_side(run, sides.words("low"), fields.who(), all);
    sign.high = read_side(run, sides.words("high"), fields.who(), all);
    sides.finish();
    fields.refuse("normal", "with a table of levels, 'normal' stands in that table");
}

void read_levels(Fields& fields, ReadRun& run, const Entry& levels, Sign& sign) {
    sign.form = SignForm::levels;
    fields.refuse("kinds", "it has levels already");
    if (levels.value.kind == Node::Kind::table) {
        read_two_sided(fields, run, levels, sign);
    } else {
        std::map<std::string, Span> all = read_normal(fields, run, levels, sign, fields.who());
        if (leaves_normal_out(run, levels.value, sign, fields.who()))
            sign.high = read_side(run, as_words(run, levels.value, fields.what("levels")),
                                  fields.who(), all);
    }
    check_value_count(run, fields.who(), sign.value_count(), levels.value.span);
    const bool says_none =
        levels.value.kind == Node::Kind::table
            ? sign.low.empty() && sign.high.empty()
            : levels.value.kind == Node::Kind::array && levels.value.items().empty();
    if (says_none)
        run.error("no-levels", levels.key_span, fields.who() + " has no levels but normal",
                  "leave 'levels' out for a flag of yes and no");
}

void read_kinds(Fields& fields, ReadRun& run, const Entry& kinds, Sign& sign) {
    sign.form = SignForm::kinds;
    sign.normal = "no";
    std::map<std::string, Span> all{{"no", kinds.key_span}};
    sign.high = read_side(run, as_words(run, kinds.value, fields.what("kinds")), fields.who(), all);
    check_value_count(run, fields.who(), sign.value_count(), kinds.value.span);
    if (kinds.value.kind == Node::Kind::array && kinds.value.items().empty())
        run.error("no-levels", kinds.key_span, fields.who() + " has no kinds",
                  "leave 'kinds' out for a flag of yes and no");
    fields.refuse("normal", "with kinds, 'no' is the normal one");
}

void read_form(Fields& fields, ReadRun& run, Sign& sign) {
    if (const Entry* levels = fields.entry("levels")) {
        read_levels(fields, run, *levels, sign);
    } else if (const Entry* kinds = fields.entry("kinds")) {
        read_kinds(fields, run, *kinds, sign);
    } else {
        sign.normal = "no";
        sign.high = {"yes"};
        fields.refuse("normal", "a flag is yes or no; 'normal' goes with levels");
    }
}

std::optional<Edge> read_edge(ReadRun& run, const Node& node, const std::string& what,
                              const std::string& unit) {
    Edge edge;
    edge.span = node.span;
    if (node.kind != Node::Kind::table) {
        const auto value = as_number(run, node, what, any_number);
        edge.plus = value.value_or(0);
        return value ? std::optional(edge) : std::nullopt;
    }
    Fields fields(run, node, node.span, what);
    const auto of = fields.word("of", Must::must);
    edge.times = fields.number("times", any_number).value_or(1);
    edge.plus = fields.number("plus", any_number).value_or(0);
    fields.finish();
    if (!of)
        return std::nullopt;
    edge.quantity = of->text;
    const Setting* from = look_up_quantity(run, of->text, of->span, what, "is of");
    if (from == nullptr)
        return std::nullopt;
    const Setting& giver = *from;
    const bool told = !known_unit(giver.unit) || !known_unit(unit);
    if (!told && !giver.unit.empty() && giver.unit != unit)
        run.error("bad-unit", of->span,
                  "'" + of->text + "' is in " + giver.unit + ", and " + what + " in " +
                      (unit.empty() ? "no unit" : unit),
                  "use the same unit for both", {{giver.head.span, "its setting"}});
    return edge;
}

/// Edges of names that are no level; whether there are any.
bool refuse_edges(Fields& fields, ReadRun& run, const Entry& edges, const Sign& sign) {
    std::vector<std::string> levels = sign.low;
    levels.insert(levels.end(), sign.high.begin(), sign.high.end());
    bool any = false;
    for (const Entry& entry : edges.value.entries()) {
        if (std::find(levels.begin(), levels.end(), entry.key) != levels.end())
            continue;
        const bool normal = entry.key == sign.normal;
        any = any || !normal;
        run.error("unknown-level", entry.key_span,
                  fields.who() + (normal ? " cannot have an edge for '" : " has no level '") +
                      entry.key + "'",
                  normal
                      ? "normal is what lies between the edges of the others"
                      : write_instead(run, entry.key, levels, "its levels are " + some_of(levels)));
    }
    return any;
}

void read_edges(Fields& fields, ReadRun& run, const Entry& edges, Sign& sign, bool shaped) {
    const bool misnamed = !shaped || refuse_edges(fields, run, edges, sign);
    const auto side_of = [&](const std::vector<std::string>& levels, std::vector<Edge>& into) {
        for (const std::string& level : levels) {
            std::optional<Edge> edge;
            const auto written =
                std::find_if(edges.value.entries().begin(), edges.value.entries().end(),
                             [&](const Entry& entry) { return entry.key == level; });
            if (written != edges.value.entries().end())
                edge =
                    read_edge(run, written->value, "the edge of '" + level + "' of " + fields.who(),
                              sign.reading->unit);
            else if (!misnamed)  // else it is the level that was meant
                run.error("missing-key", edges.key_span,
                          fields.who() + " does not say where level '" + level + "' begins");
            into.push_back(edge.value_or(Edge{}));
        }
    };
    side_of(sign.low, sign.reading->low);
    side_of(sign.high, sign.reading->high);
}

void read_reading(Fields& fields, ReadRun& run, Sign& sign, bool shaped) {
    const Entry* table = fields.entry("reading", Node::Kind::table);
    const Entry* edges = fields.entry("edges", Node::Kind::table);
    if (table == nullptr) {
        if (edges != nullptr)
            run.error("needs-reading", edges->key_span, fields.who() + " has edges but no reading",
                      "write reading = { unit = \"psi\", within = 2 }");
        fields.refuse("worked_out", "that is for observations with a reading");
        return;
    }
    Fields parts(run, table->value, table->key_span, fields.what("reading").text());
    sign.reading.emplace();
    sign.reading->unit = parts.unit("unit", Must::must);
    sign.reading->within = parts.number("within", above_zero, Must::must).value_or(1);
    parts.finish();
    if (sign.form != SignForm::levels) {
        if (shaped)
            run.error("needs-level", table->key_span, fields.who() + " has a reading but no levels",
                      "write levels and edges, so that a number means something");
        return;
    }
    if (edges == nullptr) {
        run.error("missing-key", table->key_span, fields.who() + " has a reading but no edges",
                  "say where each level begins");
        return;
    }
    read_edges(fields, run, *edges, sign, shaped);
    sign.reading->worked = read_worked_out(fields, run, sign.reading->unit);
}

void read_during(Fields& fields, ReadRun& run, Sign& sign) {
    const Entry* during = fields.entry("during", Node::Kind::table);
    if (during == nullptr)
        return;
    Fields states(run, during->value, during->key_span, fields.what("during").text());
    const auto read = [&](std::string_view key, std::initializer_list<std::string_view> words) {
        Choices<std::string> choices;
        for (const std::string_view word : words)
            choices.emplace_back(word, word);
        if (const std::string state = states.choice<std::string>(key, choices, ""); !state.empty())
            sign.during[std::string(key)] = state;
    };
    read("pump", {"running", "called", "idle"});
    read("faucets", {"open", "shut"});
    read("power", {"on", "off"});
    read("tank", {"full", "drained"});
    read("water", {"flowing", "shut-in"});
    states.finish();
    const auto is = [&](const char* key, const char* state) {
        const auto written = sign.during.find(key);
        return written != sign.during.end() && written->second == state;
    };
    if (is("pump", "running") && is("power", "off"))
        run.error("needs-clash", during->value.span,
                  fields.who() + " is seen with the pump running and the power off");
}

void read_seen_anyway(Fields& fields, ReadRun& run, SignId id, Sign& sign) {
    const Entry* anyway = fields.entry("seen_anyway");
    if (anyway == nullptr)
        return;
    if (auto levels = read_levels_of(run, id, anyway->value, fields.what("seen_anyway"),
                                     anyway->value.span)) {
        sign.seen_low = std::move(levels->low);
        sign.seen_high = std::move(levels->high);
    }
}

/// Values that say something by themselves. A sign that says so whatever is found says nothing.
std::vector<std::size_t> read_telling(Fields& fields, ReadRun& run, SignId id, const Sign& sign,
                                      std::string_view key, const std::string& help) {
    const Entry* written = fields.entry(key);
    if (written == nullptr)
        return {};
    std::vector<std::size_t> telling;
    const std::string what = fields.what(key).text();
    for (const Word& word : as_words(run, written->value, what))
        if (const auto value = look_up_value(run, id, word, what))
            telling.push_back(*value);
    std::sort(telling.begin(), telling.end());
    const bool none = written->value.kind == Node::Kind::array && written->value.items().empty();
    if (none || telling.size() == sign.value_count())
        run.error("bad-condition", written->value.span,
                  what + (none ? " can never hold" : " names every value"), help);
    return telling;
}

void read_pump_is_off(Fields& fields, ReadRun& run, SignId id, Sign& sign) {
    sign.pump_stays_off =
        read_telling(fields, run, id, sign, "pump_stays_off",
                     "name the values with which the pump does not run, and no other");
    sign.no_power = read_telling(fields, run, id, sign, "no_power",
                                 "name the values with which the pump has no power, and no other");
    // What is in both is said once: no power says all that a pump that stays off does.
    std::set<std::size_t> either(sign.pump_stays_off.begin(), sign.pump_stays_off.end());
    either.insert(sign.no_power.begin(), sign.no_power.end());
    const std::size_t values = sign.value_count();
    if (either.size() == values && sign.pump_stays_off.size() < values &&
        sign.no_power.size() < values)
        run.error("bad-condition", fields.entry("pump_stays_off")->value.span,
                  fields.what("pump_stays_off").text() + " and its 'no_power' together name every "
                                                         "value",
                  "leave out those with which the pump runs");
}

void read_stated_by(Fields& fields, ReadRun& run, Sign& sign, bool shaped) {
    const Entry* written = fields.entry("stated_by", Node::Kind::table);
    if (written == nullptr)
        return;
    Fields states(run, written->value, written->key_span, fields.what("stated_by").text());
    sign.stated_by_power_off = states.choice<bool>("power", {{"off", true}}, false);
    sign.stated_by_pressure_zero = states.choice<bool>("pressure", {{"zero", true}}, false);
    states.finish();
    if (shaped && sign.form != SignForm::flag)
        run.error("bad-condition", written->key_span,
                  fields.what("stated_by").text() + " does not say which value is stated",
                  "only of a sign that is yes or no can it be said");
}

/// How often a sign that is yes or no is shown; nothing where no such count stands there.
std::optional<Strength> read_strength_of_flag(ReadRun& run, const Sign& sign, bool shaped,
                                              const Node& node, const What& what) {
    if (node.kind != Node::Kind::table)
        return as_strength(run, node, what);
    if (shaped)
        run.error("no-levels", node.span, what + ": '" + sign.head.id + "' is yes or no",
                  "write one count, not a table of levels",
                  {{sign.head.span, "the sign is defined here"}});
    return std::nullopt;
}

/// Where nothing says which level or kind is shown.
void tell_levels(ReadRun& run, const Sign& sign, const Node& node, const What& what) {
    std::vector<std::string> levels = sign.low;
    levels.insert(levels.end(), sign.high.begin(), sign.high.end());
    run.error("needs-level", node.span,
              what + " does not say which " + (sign.form == SignForm::kinds ? "kind" : "level") +
                  " of '" + sign.head.id + "'",
              "write { " + (levels.empty() ? std::string("level") : levels.front()) +
                  " = \"9 in 10\" }; there is " + some_of(levels),
              {{sign.head.span, "the sign is defined here"}});
}

}  // namespace

std::optional<Shows> read_levels_of(ReadRun& run, SignId id, const Node& node, const What& what,
                                    const Span& where) {
    const Sign& sign = run.knowledge[id];
    const bool shaped = !run.shapeless.contains({Kind::sign, id.index()});
    Shows shows;
    shows.sign = id;
    shows.span = where;
    if (sign.form == SignForm::flag) {
        const auto strength = read_strength_of_flag(run, sign, shaped, node, what);
        if (!strength)
            return std::nullopt;
        shows.high.push_back(*strength);
        return shows;
    }
    if (node.kind != Node::Kind::table || node.entries().empty()) {
        if (shaped)
            tell_levels(run, sign, node, what);
        return std::nullopt;
    }
    const Strength never{{Count::Kind::exact, 0, 1}, where};
    double low = 0;
    double high = 0;
    for (const Entry& entry : node.entries()) {
        const auto value = look_up_value(run, id, {entry.key, entry.key_span}, what);
        const auto strength = as_strength(run, entry.value, {"'", entry.key, "' in ", what});
        if (!value || !strength)
            continue;
        if (*value == 0) {
            run.error("unknown-level", entry.key_span,
                      what + " gives a count for '" + entry.key + "', the normal one",
                      "leave it out: what the other levels leave over is normal");
            continue;
        }
        const bool on_high = *value <= sign.high.size();
        std::vector<Strength>& side = on_high ? shows.high : shows.low;
        side.resize(on_high ? sign.high.size() : sign.low.size(), never);
        side[on_high ? *value - 1 : *value - 1 - sign.high.size()] = *strength;
        (on_high ? high : low) += strength->count.mean();
    }
    for (const double sum : {low, high})
        if (sum > 1 + 1e-9)
            run.error("over-one", node.span,
                      what + " adds up to " + number(sum) +
                          (sign.form == SignForm::kinds ? "" : " on one side"),
                      sign.form == SignForm::kinds
                          ? "the kinds exclude each other; their sum is at most 1"
                          : "the levels of one side exclude each other; their sum is at most 1");
    return shows;
}

/// `value` settles `signs`, beside what others settle.
void leave_moot(Sign& sign, const std::vector<SignId>& signs, std::size_t value) {
    for (const SignId one : signs) {
        auto& all = sign.leaves_moot;
        auto moot =
            std::find_if(all.begin(), all.end(), [&](const Moot& it) { return it.sign == one; });
        if (moot == all.end())
            moot = all.insert(all.end(), Moot{one, {}});
        moot->by.insert(std::upper_bound(moot->by.begin(), moot->by.end(), value), value);
    }
}

/// What need not be asked where this was found: whatever is present, or value by value.
void read_leaves_moot(Fields& fields, ReadRun& run, SignId id, Sign& sign) {
    constexpr std::string_view role = "leaves a sign moot";
    const Entry* written = fields.entry("leaves_moot");
    if (written == nullptr)
        return;
    if (written->value.kind == Node::Kind::table) {
        const What what = fields.what("leaves_moot");
        Fields by_value(run, written->value, written->key_span, what.text());
        for (const Entry& entry : written->value.entries()) {
            const auto signs = by_value.ids<SignId>(entry.key, Kind::sign, role);
            if (const auto value = look_up_value(run, id, {entry.key, entry.key_span}, what))
                leave_moot(sign, signs, *value);
        }
    } else {
        const auto signs = fields.ids<SignId>("leaves_moot", Kind::sign, role);
        for (std::size_t value = 1; value < sign.value_count(); ++value)
            leave_moot(sign, signs, value);
    }
    if (std::any_of(sign.leaves_moot.begin(), sign.leaves_moot.end(),
                    [&](const Moot& it) { return it.sign == id; }))
        run.error("bad-condition", fields.entry("leaves_moot")->value.span,
                  fields.what("leaves_moot").text() + " names the sign itself",
                  "name the other signs that nobody needs to ask for where this one was found");
}

void read_sign(ReadRun& run, const Definition& definition) {
    const Entry& entry = *definition.entry;
    Sign& sign = run.knowledge.signs[definition.index];
    Fields fields(run, entry.value, entry.key_span, called(definition.word, entry.key));
    sign.symptom = definition.word == "symptom";
    sign.head = read_head(fields, run, entry, Must::must);
    sign.ask = fields.text("ask");
    for (const Word& other : fields.words("also"))
        sign.also.push_back(other.text);
    const std::size_t before = run.errors;
    read_form(fields, run, sign);
    const bool shaped = run.errors == before;
    if (!shaped)
        run.shapeless.emplace(Kind::sign, definition.index);
    read_seen_anyway(fields, run, SignId(definition.index), sign);
    read_pump_is_off(fields, run, SignId(definition.index), sign);
    read_stated_by(fields, run, sign, shaped);
    read_leaves_moot(fields, run, SignId(definition.index), sign);
    if (sign.symptom) {
        sign.circumstance = fields.truth("circumstance");
        if (const Entry* report = fields.entry("phone_report", Node::Kind::table)) {
            Fields channel(run, report->value, report->key_span,
                           fields.what("phone_report").text());
            sign.phone_report = read_channel(channel, run, Channel{}, Must::must);
            channel.finish();
        }
        for (const std::string_view key : {"during", "reading", "edges", "worked_out", "steady"})
            fields.refuse(key, "that is for observations; a symptom is what a customer reports");
    } else {
        read_during(fields, run, sign);
        read_reading(fields, run, sign, shaped);
        sign.steady = fields.truth("steady");
        fields.refuse("phone_report",
                      "that is for symptoms; a test has its misses and false_alarm");
        fields.refuse("circumstance", "that is for symptoms; a customer tells what was before");
    }
    fields.finish();
}

}  // namespace knockwell
