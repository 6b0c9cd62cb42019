// Worked cases. Their findings are kept as written and go through the reader of the command line;
// here only the names in them are looked up, so that a case cannot rot unseen.
#include "base/quantity.hpp"
#include "base/words.hpp"
#include "knowledge/fields.hpp"
#include "knowledge/lookup.hpp"

#include <algorithm>
#include <array>
#include <variant>

namespace knockwell {
namespace {

constexpr NumberRange chance_range{0, 1};
constexpr NumberRange weight_range{0, 1e9};

/// A sign, a table or a cause; settings too where `settings`. Reports unknown-sign.
struct Subject {
    std::optional<SignId> sign;
    std::optional<SettingId> setting;  // or table
    std::optional<CauseId> cause;
};

std::optional<Subject> subject_of(ReadRun& run, const Word& name, const std::string& who,
                                  std::string_view role) {
    if (const auto sign = find(run, Kind::sign, name.text))
        return Subject{SignId(*sign), {}, {}};
    if (const auto setting = find(run, Kind::setting, name.text))
        if (run.knowledge.settings[*setting].table)
            return Subject{{}, SettingId(*setting), {}};
    if (const auto cause = find(run, Kind::cause, name.text))
        return Subject{{}, {}, CauseId(*cause)};
    (void)look_up(run, Kind::sign, name.text, name.span, who, role);
    return std::nullopt;
}

void check_number(ReadRun& run, const Word& value, const std::string& unit,
                  const std::string& who) {
    if (!known_unit(unit))
        return;
    const auto quantity = parse_quantity(value.text);
    std::string wrong;
    if (std::holds_alternative<std::string>(quantity)) {
        wrong = std::get<std::string>(quantity);
    } else {
        const auto converted = convert(std::get<Quantity>(quantity), unit);
        if (std::holds_alternative<std::string>(converted))
            wrong = std::get<std::string>(converted);
    }
    if (!wrong.empty())
        run.error("bad-finding", value.span, who + ": '" + value.text + "': " + wrong,
                  "write a number, with its unit if it is not " +
                      (unit.empty() ? std::string("a plain one") : unit));
}

/// The test behind '@', which must reveal `what`.
void check_tester(ReadRun& run, const Word& name, const Subject& what, const std::string& who) {
    const auto index =
        look_up(run, Kind::test, name.text, name.span, who, "found something by a test");
    if (!index || run.broken.contains({Kind::test, *index}))
        return;
    const Test& test = run.knowledge.tests[*index];
    const bool reveals =
        std::any_of(test.reveals.begin(), test.reveals.end(), [&](const Findable& one) {
            return what.sign ? one == Findable(*what.sign)
                             : what.setting && one == Findable(*what.setting);
        });
    if (!reveals)
        run.error("bad-finding", name.span, who + ": test '" + name.text + "' does not reveal that",
                  "", {{test.step.head.span, "the test is defined here"}});
}

void check_value(ReadRun& run, const Word& value, const Subject& what, const std::string& who) {
    if (what.cause) {
        if (value.text != "yes" && value.text != "no")
            unknown_word(run, value, "a cause in " + who, {"yes", "no"});
        return;
    }
    if (what.setting) {
        (void)look_up_state(run, *what.setting, value, who);
        return;
    }
    const Sign& sign = run.knowledge[*what.sign];
    const bool some = sign.form != SignForm::flag && sign.low.empty() && value.text == "yes";
    const bool looks_like_number =
        value.text.find_first_of("0123456789.-+") == 0 && sign.reading.has_value();
    for (std::size_t i = 0; i < sign.value_count(); ++i)
        if (sign.value_name(i) == value.text)
            return;
    const bool measured =
        sign.reading && sign.reading->worked && value.text.find('=') != std::string::npos;
    if (measured)
        return;  // worked out with the settings of the case when it is played
    if (looks_like_number)
        check_number(run, value, sign.reading->unit, who);
    else if (!some)
        (void)look_up_value(run, *what.sign, value, who);
}

/// Text of a value as it would be typed, to the last digit: it is read again.
std::optional<std::string> typed(ReadRun& run, const Entry& entry, const std::string& who) {
    if (entry.value.kind == Node::Kind::number)
        return to_the_last_digit(entry.value.number);
    return as_text(run, entry.value, {"'", entry.key, "' of ", who});
}

std::vector<WrittenFinding> read_findings(Fields& fields, ReadRun& run, std::string_view key,
                                          bool by_test, const std::string& who) {
    std::vector<WrittenFinding> list;
    const Entry* table = fields.entry(key, Node::Kind::table);
    if (table == nullptr)
        return list;
    for (const Entry& entry : table->value.entries()) {
        const auto what = subject_of(run, {entry.key, entry.key_span}, who, "finds a sign");
        const auto value = typed(run, entry, who);
        if (!what || !value)
            continue;
        list.push_back({entry.key, *value, entry.key_span});
        const ValueAndTest parts =
            by_test ? value_and_test(*value) : ValueAndTest{*value, std::nullopt};
        check_value(run, {std::string(parts.value), entry.value.span}, *what, who);
        if (parts.test)
            check_tester(run, {std::string(*parts.test), entry.value.span}, *what, who);
    }
    return list;
}

std::vector<WrittenFinding> read_set(Fields& fields, ReadRun& run) {
    std::vector<WrittenFinding> list;
    const Entry* table = fields.entry("set", Node::Kind::table);
    if (table == nullptr)
        return list;
    for (const Entry& entry : table->value.entries()) {
        const auto value = typed(run, entry, fields.who());
        const auto quantity = run.quantities.find(entry.key);
        if (quantity != run.quantities.end()) {
            if (value)
                check_number(run, {*value, entry.value.span},
                             run.knowledge[quantity->second.setting].unit, fields.who());
        } else if (const auto index = look_up(run, Kind::setting, entry.key, entry.key_span,
                                              fields.who(), "sets a setting")) {
            const Setting& setting = run.knowledge.settings[*index];
            const bool named = value && std::find(setting.states.begin(), setting.states.end(),
                                                  *value) != setting.states.end();
            if (value && !setting.starts.empty() && !named)
                check_number(run, {*value, entry.value.span}, setting.unit, fields.who());
            else if (value)
                (void)look_up_state(run, SettingId(*index), {*value, entry.value.span},
                                    fields.who());
        }
        if (value)
            list.push_back({entry.key, *value, entry.key_span});
    }
    return list;
}

std::vector<WrittenWeights> read_weighs(Fields& fields, ReadRun& run) {
    std::vector<WrittenWeights> list;
    const Entry* table = fields.entry("weighs", Node::Kind::table);
    if (table == nullptr)
        return list;
    for (const Entry& entry : table->value.entries()) {
        const auto what =
            subject_of(run, {entry.key, entry.key_span}, fields.who(), "weighs a sign");
        if (!is_kind(run, entry.value, Node::Kind::table, {"the weights of '", entry.key, "'"}))
            continue;
        WrittenWeights weights{entry.key, {}, entry.key_span};
        double sum = 0;
        for (const Entry& one : entry.value.entries()) {
            const Word name{one.key, one.key_span};
            if (what && what->cause)
                check_value(run, name, *what, fields.who());
            else if (what && what->setting)
                (void)look_up_state(run, *what->setting, name, fields.who());
            else if (what)
                (void)look_up_value(run, *what->sign, name, fields.who());
            const auto weight =
                as_number(run, one.value, {"the weight of '", one.key, "'"}, weight_range);
            weights.weights[one.key] = weight.value_or(0);
            sum += weight.value_or(1);
        }
        if (sum <= 0)
            run.error("bad-number", entry.value.span, "every weight of '" + entry.key + "' is 0",
                      "a state that has no weight is excluded; one must be left");
        list.push_back(std::move(weights));
    }
    return list;
}

std::vector<PracticeStage> read_after(Fields& fields, ReadRun& run) {
    std::vector<PracticeStage> stages;
    const Entry* array = fields.entry("after", Node::Kind::array);
    if (array == nullptr)
        return stages;
    for (const Node& item : array->value.items()) {
        const std::string what = "an item of " + fields.what("after").text();
        if (!is_kind(run, item, Node::Kind::table, what))
            continue;
        Fields parts(run, item, item.span, what);
        PracticeStage stage;
        (void)parts.entry("did", Must::must);
        stage.did = parts.id<RepairId>("did", Kind::repair, "did a repair");
        stage.says = read_findings(parts, run, "says", false, fields.who());
        stage.found = read_findings(parts, run, "found", true, fields.who());
        parts.finish();
        stages.push_back(std::move(stage));
    }
    return stages;
}

/// "cause", "table=state" or "sign=level".
std::vector<Expectation> read_expectations(Fields& fields, ReadRun& run) {
    std::vector<Expectation> list;
    const Entry* table = fields.entry("gives", Node::Kind::table);
    if (table == nullptr)
        return list;
    for (const Entry& entry : table->value.entries()) {
        const std::size_t equals = entry.key.find('=');
        const Word name{entry.key.substr(0, equals), entry.key_span};
        if (equals == std::string::npos) {
            (void)look_up(run, Kind::cause, name.text, name.span, fields.who(), "expects a cause");
        } else if (const auto setting = find(run, Kind::setting, name.text)) {
            (void)look_up_state(run, SettingId(*setting),
                                {entry.key.substr(equals + 1), entry.key_span}, fields.who());
        } else if (const auto what = subject_of(run, name, fields.who(), "expects a sign")) {
            check_value(run, {entry.key.substr(equals + 1), entry.key_span}, *what, fields.who());
        }
        const auto chance =
            as_number(run, entry.value, {"the chance of '", entry.key, "'"}, chance_range);
        list.push_back({entry.key, chance.value_or(0), entry.key_span});
    }
    return list;
}

std::vector<std::string> read_next(Fields& fields, ReadRun& run) {
    constexpr std::array step_kinds{Kind::test, Kind::repair, Kind::refer, Kind::setting,
                                    Kind::sign};
    std::vector<std::string> list;
    for (const Word& word : fields.words("next")) {
        list.push_back(word.text);
        const bool found = std::any_of(step_kinds.begin(), step_kinds.end(), [&](Kind kind) {
            return find(run, kind, word.text) || run.mangled.contains({kind, word.text});
        });
        if (found || !run.whole)
            continue;
        std::vector<std::string> known;
        for (const Kind kind : step_kinds)
            for (const auto& [id, defined] : run.names[kind])
                known.push_back(id);
        run.error("unknown-step", word.span, fields.who() + " expects a step that nothing defines",
                  write_instead(run, word.text, known,
                                "a step is a test, a repair, a refer, or a setting or sign to ask "
                                "for"));
    }
    return list;
}

}  // namespace

void read_practice(ReadRun& run, const Definition& definition) {
    const Entry& entry = *definition.entry;
    Practice& practice = run.knowledge.practice[definition.index];
    Fields fields(run, entry.value, entry.key_span, called("practice", entry.key));
    practice.head = read_head(fields, run, entry, Must::must);
    practice.set = read_set(fields, run);
    practice.says = read_findings(fields, run, "says", false, fields.who());
    practice.found = read_findings(fields, run, "found", true, fields.who());
    practice.weighs = read_weighs(fields, run);
    practice.after = read_after(fields, run);
    practice.first = fields.id<CauseId>("first", Kind::cause, "expects a cause");
    practice.both = fields.ids<CauseId>("both", Kind::cause, "expects a cause");
    practice.tempting = fields.id<CauseId>("tempting", Kind::cause, "is tempted by a cause");
    practice.stop = fields.id<StopId>("stop", Kind::stop, "expects a stop");
    practice.next = read_next(fields, run);
    practice.gives = read_expectations(fields, run);
    practice.evidence = fields.number("evidence", chance_range);
    practice.within = fields.number("within", {0, 1}).value_or(1e-9);
    fields.finish();
}

}  // namespace knockwell
