// Where one goes and what one does there: accesses, cautions, tests, repairs, refers, parts, stops.
#include "knowledge/fields.hpp"

#include <algorithm>

namespace knockwell {
namespace {

constexpr NumberRange pieces_range{0.001, 1e4};
constexpr NumberRange price_range{0, 1e7};

Needs read_needs(Fields& fields, ReadRun& run) {
    Needs needs;
    const Entry* table = fields.entry("needs", Node::Kind::table);
    if (table == nullptr)
        return needs;
    Fields parts(run, table->value, table->key_span, fields.what("needs").text());
    needs.power =
        parts.choice<Power>("power", {{"on", Power::on}, {"off", Power::off}}, Power::any);
    needs.pressure = parts.choice<Pressure>(
        "pressure", {{"zero", Pressure::zero}, {"up", Pressure::up}}, Pressure::any);
    needs.tank_drained = parts.choice<bool>("tank", {{"drained", true}}, false);
    needs.pump = parts.choice<std::string>(
        "pump", {{"running", "running"}, {"called", "called"}, {"idle", "idle"}}, "");
    needs.skill = parts.choice("skill", skill_words(), Skill::qualified);
    needs.licence = parts.choice_list("licence", licence_words());
    parts.finish();
    if ((needs.pump == "running" || needs.pump == "called") && needs.power == Power::off)
        run.error("needs-clash", table->value.span,
                  fields.who() + " needs the pump " + needs.pump + " and the power off");
    if (needs.pressure == Pressure::up && needs.tank_drained)
        run.error("needs-clash", table->value.span,
                  fields.who() + " needs the pressure up and the tank drained");
    return needs;
}

/// Where it has a use at all.
Conditions read_only_if(Fields& fields, ReadRun& run) {
    const Entry* only_if = fields.entry("only_if", Node::Kind::table);
    return only_if == nullptr ? Conditions() : read_conditions(run, only_if->value, fields.who());
}

/// What has to be looked at before, whatever it shows.
std::vector<SignId> read_measured_first(Fields& fields) {
    return fields.ids<SignId>("measured_first", Kind::sign, "wants a sign looked at first");
}

Step read_step(Fields& fields, ReadRun& run, const Entry& entry) {
    Step step;
    step.head = read_head(fields, run, entry, Must::must);
    step.how = fields.text("how", Must::must);
    step.minutes = fields.number("minutes", minutes_range, Must::must).value_or(0);
    step.at = fields.id<AccessId>("at", Kind::access, "is done at an access");
    step.needs = read_needs(fields, run);
    for (const Word& tool : fields.words("tools"))
        step.tools.push_back(tool.text);
    step.hazards = fields.choice_list("hazards", hazard_words());
    step.cautions = fields.ids<CautionId>("cautions", Kind::caution, "names a caution");
    step.only_if = read_only_if(fields, run);
    step.measured_first = read_measured_first(fields);
    for (const char* key : {"power", "pressure", "tank", "pump", "skill", "licence"})
        fields.refuse(key, std::string("it is one of the needs: needs = { ") + key + " = ... }");
    return step;
}

/// Signs and tables.
std::vector<Findable> read_reveals(Fields& fields, ReadRun& run) {
    std::vector<Findable> reveals;
    const Entry* array = fields.entry("reveals", Must::must);
    if (array == nullptr)
        return reveals;
    for (const Word& name : as_words(run, array->value, fields.what("reveals"))) {
        const auto table = find(run, Kind::setting, name.text);
        if (table && run.knowledge.settings[*table].table) {
            reveals.emplace_back(SettingId(*table));
        } else if (const auto sign = look_up(run, Kind::sign, name.text, name.span, fields.who(),
                                             "reveals a sign")) {
            reveals.emplace_back(SignId(*sign));
        }
    }
    if (array->value.kind == Node::Kind::array && array->value.items().empty())
        run.error("reveals-nothing", array->value.span, fields.who() + " reveals nothing",
                  "name the signs that it shows");
    return reveals;
}

bool has_reading(const ReadRun& run, const std::vector<Findable>& reveals) {
    return std::any_of(reveals.begin(), reveals.end(), [&](const Findable& one) {
        const auto* sign = std::get_if<SignId>(&one);
        return sign != nullptr && run.knowledge[*sign].reading.has_value();
    });
}

std::vector<PartUse> read_parts(Fields& fields, ReadRun& run) {
    std::vector<PartUse> parts;
    const Entry* table = fields.entry("parts", Node::Kind::table);
    if (table == nullptr)
        return parts;
    for (const Entry& entry : table->value.entries()) {
        const auto part =
            look_up(run, Kind::part, entry.key, entry.key_span, fields.who(), "uses a part");
        const auto pieces = as_number(
            run, entry.value, {"'", entry.key, "' in ", fields.what("parts")}, pieces_range);
        if (part && pieces)
            parts.push_back({PartId(*part), *pieces});
    }
    return parts;
}

std::vector<std::size_t> read_values(ReadRun& run, SignId sign, const Node& node,
                                     const std::string& who) {
    const std::string what = "the value of '" + run.knowledge[sign].head.id + "' of " + who;
    std::vector<Word> words;
    if (node.kind == Node::Kind::array)
        words = as_words(run, node, what);
    else if (const auto text = as_text(run, node, what))
        words.push_back({*text, node.span});
    std::vector<std::size_t> values;
    for (const Word& word : words)
        if (const auto value = look_up_value(run, sign, word, who))
            values.push_back(*value);
    if (node.kind == Node::Kind::array && node.items().empty())
        run.error("bad-condition", node.span, what + " can never hold", "name a value");
    std::sort(values.begin(), values.end());
    return values;
}

std::vector<SignAmong> read_when(Fields& fields, ReadRun& run, std::string_view key, Must must) {
    std::vector<SignAmong> when;
    const Entry* table = fields.entry(key, Node::Kind::table, must);
    if (table == nullptr)
        return when;
    for (const Entry& entry : table->value.entries())
        if (const auto sign =
                look_up(run, Kind::sign, entry.key, entry.key_span, fields.who(), "watches a sign"))
            when.push_back(
                {SignId(*sign), read_values(run, SignId(*sign), entry.value, fields.who())});
    if (table->value.entries().empty())
        run.error("bad-condition", table->value.span,
                  "'" + std::string(key) + "' of " + fields.who() + " names no sign",
                  "name the signs that say so");
    return when;
}

/// What is set on dead parts is set by who locks out, before power comes back.
void read_set_dead(Fields& fields, ReadRun& run, Step& step) {
    const Entry* entry = fields.entry("set_dead");
    if (entry == nullptr)
        return;
    step.set_dead = fields.text("set_dead", Must::may);
    const Needs& needs = step.needs;
    if (needs.power != Power::on && needs.pump != "running" && needs.pump != "called")
        run.error("needs-clash", entry->value.span,
                  fields.who() + " sets something dead and does not need the power afterwards",
                  "write it into 'how', or need the power on");
    else if (needs.skill != Skill::qualified)
        run.error("needs-clash", entry->value.span,
                  fields.who() + " sets something dead and is not for the qualified alone",
                  "only who is qualified locks out and proves dead");
}

/// What lifts a stop and raises it by one and the same finding lets it never come up.
bool is_raised_by(const Stop& stop, SignId flag) {
    constexpr std::size_t yes = 1;  // of a flag
    return std::any_of(stop.when.begin(), stop.when.end(), [&](const SignAmong& when) {
        return when.sign == flag &&
               std::find(when.values.begin(), when.values.end(), yes) != when.values.end();
    });
}

void read_cleared_by(Fields& fields, ReadRun& run, Stop& stop) {
    for (const Word& name : fields.words("cleared_by")) {
        const auto sign =
            look_up(run, Kind::sign, name.text, name.span, fields.who(), "is cleared by a sign");
        if (!sign)
            continue;
        stop.cleared_by.emplace_back(*sign);
        if (run.shapeless.contains({Kind::sign, *sign}))
            continue;
        const Sign& it = run.knowledge.signs[*sign];
        if (it.form != SignForm::flag)
            run.error("no-flag", name.span,
                      "'" + name.text + "' clears " + fields.who() + " but is not yes or no",
                      "name a sign without levels and kinds",
                      {{it.head.span, "the sign is defined here"}});
        else if (is_raised_by(stop, SignId(*sign)))
            run.error("stop-never", name.span,
                      "'" + name.text + "', found yes, raises " + fields.who() +
                          " and clears it, so that it never comes up",
                      "name a sign that shows that the danger is over");
    }
}

/// A reset puts back what tripped, and the danger is there as before.
void read_mended_by(Fields& fields, ReadRun& run, Stop& stop) {
    for (const Word& name : fields.words("mended_by")) {
        const auto repair =
            look_up(run, Kind::repair, name.text, name.span, fields.who(), "is mended by a repair");
        if (!repair)
            continue;
        stop.mended_by.emplace_back(*repair);
        if (const Repair& it = run.knowledge.repairs[*repair]; it.resets)
            run.error("mends-nothing", name.span,
                      "'" + name.text + "' is to mend " + fields.who() + " and only resets",
                      "name a repair that takes the danger away",
                      {{it.step.head.span, "the repair is defined here"}});
    }
}

void read_blocks(Fields& fields, ReadRun& run, Stop& stop) {
    const Entry* blocks = fields.entry("blocks");
    if (blocks == nullptr)
        return;
    const Node& value = blocks->value;
    for (const Node& item : value.items())
        if (item.text == "all") {
            run.error("unknown-word", item.span, fields.what("blocks") + " names 'all' in a list",
                      "write blocks = \"all\", or hazards alone");
            return;
        }
    if (value.kind != Node::Kind::text) {
        stop.blocks_all = false;
        stop.blocks = fields.choice_list("blocks", hazard_words());
    } else if (value.text != "all") {
        const auto& hazards = hazard_words();
        const bool hazard = std::any_of(hazards.begin(), hazards.end(),
                                        [&](const auto& one) { return one.first == value.text; });
        run.error("unknown-word", value.span,
                  fields.what("blocks") + " cannot be '" + value.text + "'",
                  hazard ? "write instead: [\"" + value.text + "\"]"
                         : std::string("it is \"all\", or a list of hazards, such as [\"live\", "
                                       "\"pressure\"]"));
    }
}

}  // namespace

void read_access(ReadRun& run, const Definition& definition) {
    const Entry& entry = *definition.entry;
    Access& access = run.knowledge.accesses[definition.index];
    Fields fields(run, entry.value, entry.key_span, called("access", entry.key));
    access.head = read_head(fields, run, entry, Must::must);
    access.minutes = fields.number("minutes", minutes_range, Must::must).value_or(0);
    access.put_back = fields.text("put_back", Must::may);
    access.put_back_minutes = fields.number("put_back_minutes", minutes_range).value_or(0);
    access.via = fields.id<AccessId>("via", Kind::access, "is reached via an access");
    if (const auto via = fields.entry("via"); via != nullptr && access.via.valid())
        run.links.push_back({fields.who(), called("access", via->value.text),
                             fields.who() + " is reached via '" + via->value.text + "'",
                             via->value.span});
    access.power_off = fields.choice<bool>("power", {{"off", true}}, false);
    access.pressure_zero = fields.choice<bool>("pressure", {{"zero", true}}, false);
    access.skill = fields.choice("skill", skill_words(), Skill::owner);
    access.hazards = fields.choice_list("hazards", hazard_words());
    access.cautions = fields.ids<CautionId>("cautions", Kind::caution, "names a caution");
    fields.finish();
}

void read_caution(ReadRun& run, const Definition& definition) {
    const Entry& entry = *definition.entry;
    Caution& caution = run.knowledge.cautions[definition.index];
    Fields fields(run, entry.value, entry.key_span, called("caution", entry.key));
    caution.head = read_head(fields, run, entry, Must::may);
    caution.text = fields.text("text", Must::must);
    caution.covers = fields.choice_list("covers", hazard_words());
    fields.finish();
}

void read_test(ReadRun& run, const Definition& definition) {
    const Entry& entry = *definition.entry;
    Test& test = run.knowledge.tests[definition.index];
    Fields fields(run, entry.value, entry.key_span, called("test", entry.key));
    test.step = read_step(fields, run, entry);
    read_set_dead(fields, run, test.step);
    const std::size_t gaps = run.gaps();
    test.reveals = read_reveals(fields, run);
    const bool all_known = run.gaps() == gaps;
    test.channel = read_channel(fields, run, run.knowledge.manifest.looked, Must::may);
    test.within = fields.number("within", above_zero);
    const Entry* within = fields.entry("within");
    const auto is_broken = [&](const Findable& one) {
        const auto* sign = std::get_if<SignId>(&one);
        return sign != nullptr && run.broken.contains({Kind::sign, sign->index()});
    };
    if (within != nullptr && all_known && !test.reveals.empty() &&
        !has_reading(run, test.reveals) &&
        std::none_of(test.reveals.begin(), test.reveals.end(), is_broken))
        run.error("needs-reading", within->key_span,
                  fields.who() + " says 'within' but reveals no reading",
                  "leave it out, or reveal a sign that has a reading");
    fields.finish();
}

void read_repair(ReadRun& run, const Definition& definition) {
    const Entry& entry = *definition.entry;
    Repair& repair = run.knowledge.repairs[definition.index];
    Fields fields(run, entry.value, entry.key_span, called("repair", entry.key));
    repair.step = read_step(fields, run, entry);
    repair.fixes = read_cause_strengths(fields, run, "fixes", "fixes a cause", Must::must);
    const Entry* fixes = fields.entry("fixes");
    if (fixes != nullptr && fixes->value.kind == Node::Kind::table &&
        repair.fixes.size() == fixes->value.entries().size() &&
        std::all_of(repair.fixes.begin(), repair.fixes.end(),
                    [](const CauseStrength& fix) { return fix.strength.count.mean() == 0; }))
        run.error("fixes-nothing", fixes->value.span, fields.who() + " fixes nothing",
                  "name the causes that it puts right, and how often");
    repair.parts = read_parts(fields, run);
    repair.recheck = fields.ids<TestId>("recheck", Kind::test, "is rechecked by a test");
    repair.may_bring = read_cause_strengths(fields, run, "may_bring", "may bring a cause");
    repair.resets = fields.truth("resets");
    repair.power_after = fields.choice<bool>("power_after", {{"on", true}}, false);
    repair.tried_when = read_when(fields, run, "tried_when", Must::may);
    fields.finish();
}

void read_refer(ReadRun& run, const Definition& definition) {
    const Entry& entry = *definition.entry;
    Refer& refer = run.knowledge.refers[definition.index];
    Fields fields(run, entry.value, entry.key_span, called("refer", entry.key));
    refer.head = read_head(fields, run, entry, Must::must);
    refer.to = fields.choice("to", licence_words(), Licence::electrician, Must::must);
    refer.takes = fields.ids<CauseId>("takes", Kind::cause, "takes a cause", Must::must);
    const Entry* takes = fields.entry("takes");
    if (takes != nullptr && takes->value.kind == Node::Kind::array && takes->value.items().empty())
        run.error("fixes-nothing", takes->value.span, fields.who() + " takes nothing",
                  "name the causes that are somebody else's to deal with");
    refer.why = fields.text("why");
    refer.minutes = fields.number("minutes", minutes_range).value_or(0);
    refer.in_vain = fields.number("in_vain", minutes_range).value_or(0);
    refer.only_if = read_only_if(fields, run);
    refer.measured_first = read_measured_first(fields);
    fields.finish();
}

void read_part(ReadRun& run, const Definition& definition) {
    const Entry& entry = *definition.entry;
    Part& part = run.knowledge.parts[definition.index];
    Fields fields(run, entry.value, entry.key_span, called("part", entry.key));
    part.head = read_head(fields, run, entry, Must::must);
    part.price = fields.number("price", price_range);
    fields.finish();
}

void read_stop(ReadRun& run, const Definition& definition) {
    const Entry& entry = *definition.entry;
    Stop& stop = run.knowledge.stops[definition.index];
    Fields fields(run, entry.value, entry.key_span, called("stop", entry.key));
    stop.head = read_head(fields, run, entry, Must::must);
    stop.when = read_when(fields, run, "when", Must::must);
    stop.do_now = fields.text("do_now", Must::must);
    stop.likely = fields.strength("likely");
    read_blocks(fields, run, stop);
    stop.pump_off = fields.truth("pump_off");
    stop.by_drinking = fields.truth("by_drinking");
    if (stop.by_drinking && stop.blocks_all)
        run.error("bad-condition", fields.entry("by_drinking")->value.span,
                  fields.who() + " harms who drinks the water and holds back every step",
                  "write what it holds back: blocks = [], or a list of hazards");
    read_cleared_by(fields, run, stop);
    read_mended_by(fields, run, stop);
    stop.cautions = fields.ids<CautionId>("cautions", Kind::caution, "names a caution");
    fields.finish();
}

}  // namespace knockwell
