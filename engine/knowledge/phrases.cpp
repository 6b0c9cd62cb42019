// What several kinds of definition share: the head, conditions, channels, names of values.
#include "base/words.hpp"
#include "knowledge/fields.hpp"

#include <algorithm>
#include <array>
#include <charconv>

namespace knockwell {
namespace {

/// ">= 10" or "< 10" of a numeric setting: the states from or below the one that starts there.
std::optional<std::vector<std::size_t>> compared_states(ReadRun& run, const Setting& setting,
                                                        const Word& word, const std::string& what) {
    const bool from = word.text.rfind(">=", 0) == 0;
    const std::string_view text = word.text;
    std::string_view rest = text.substr(from ? 2 : 1);
    rest.remove_prefix(std::min(rest.find_first_not_of(' '), rest.size()));
    double value = 0;
    const auto read = std::from_chars(rest.data(), rest.data() + rest.size(), value);
    const bool plain = read.ec == std::errc{} && read.ptr == rest.data() + rest.size();
    if (setting.starts.empty() || !plain || (!from && text.front() != '<')) {
        run.error("bad-condition", word.span, what + " cannot be compared with '" + word.text + "'",
                  setting.starts.empty()
                      ? "'" + setting.head.id + "' has no numbers (starts); name its choices"
                      : R"(write ">= 10" or "< 10", without a unit)");
        return std::nullopt;
    }
    const auto start = std::find(setting.starts.begin(), setting.starts.end(), value);
    if (start == setting.starts.end()) {
        std::vector<std::string> known;
        for (const double one : setting.starts)
            known.push_back(number(one));
        run.error("bad-condition", word.span,
                  "'" + setting.head.id + "' has no choice that starts at " + number(value),
                  "its choices start at " + list_of(known));
        return std::nullopt;
    }
    const auto first = static_cast<std::size_t>(start - setting.starts.begin());
    std::vector<std::size_t> states;
    for (std::size_t state = 0; state < setting.states.size(); ++state)
        if (from == (state >= first))
            states.push_back(state);
    if (states.empty())
        run.error("bad-condition", word.span, what + " can never be '" + word.text + "'",
                  "that is where its first choice starts");
    return states;
}

std::vector<std::size_t> states_of(ReadRun& run, SettingId id, const Node& node,
                                   const std::string& who) {
    const Setting& setting = run.knowledge[id];
    const std::string what = called("setting", setting.head.id);
    std::vector<Word> words;
    if (node.kind == Node::Kind::array)
        words = as_words(run, node, {"the condition on ", what});
    else if (const auto text = as_text(run, node, {"the condition on ", what}))
        words.push_back({*text, node.span});
    else
        return {};
    std::vector<std::size_t> states;
    for (const Word& word : words) {
        if (word.text.front() == '<' || word.text.front() == '>') {
            if (run.shapeless.contains({Kind::setting, id.index()}))
                continue;
            if (const auto some = compared_states(run, setting, word, what))
                states.insert(states.end(), some->begin(), some->end());
        } else if (const auto state = look_up_state(run, id, word, who)) {
            states.push_back(*state);
        }
    }
    if (words.empty() && node.items().empty())
        run.error("bad-condition", node.span, "the condition on " + what + " can never hold",
                  "name one of its choices");
    std::sort(states.begin(), states.end());
    states.erase(std::unique(states.begin(), states.end()), states.end());
    return states;
}

}  // namespace

const Choices<Basis>& basis_words() {
    static const Choices<Basis> words{{"practice", Basis::practice},
                                      {"published", Basis::published},
                                      {"judgement", Basis::judgement},
                                      {"ledger", Basis::ledger}};
    return words;
}

const Choices<Skill>& skill_words() {
    static const Choices<Skill> words{
        {"owner", Skill::owner}, {"helper", Skill::helper}, {"qualified", Skill::qualified}};
    return words;
}

const Choices<Licence>& licence_words() {
    static const Choices<Licence> words{{"electrician", Licence::electrician},
                                        {"pump-installer", Licence::pump_installer},
                                        {"well-contractor", Licence::well_contractor},
                                        {"laboratory", Licence::laboratory}};
    return words;
}

const Choices<Hazard>& hazard_words() {
    static const Choices<Hazard> words{{"live", Hazard::live},
                                       {"pressure", Hazard::pressure},
                                       {"below-grade", Hazard::below_grade},
                                       {"lifting", Hazard::lifting},
                                       {"chemical", Hazard::chemical}};
    return words;
}

Head read_head(Fields& fields, ReadRun& run, const Entry& entry, Must title) {
    Head head;
    head.id = entry.key;
    head.span = entry.key_span;
    head.title = fields.text("title", title);
    if (head.title.empty())
        head.title = head.id;
    head.note = fields.text("note");
    head.basis = fields.choice("basis", basis_words(), Basis::none);
    head.source = fields.text("source", head.basis == Basis::published ? Must::must : Must::may);
    if (const Entry* accept = fields.entry("accept", Node::Kind::table))
        for (const Entry& one : accept->value.entries())
            if (const auto reason = as_text(run, one.value, {"the reason for '", one.key, "'"}))
                head.accept[one.key] = *reason;
    return head;
}

Conditions read_conditions(ReadRun& run, const Node& table, const std::string& who,
                           const std::string& hanging) {
    Conditions conditions;
    for (const Entry& entry : table.entries()) {
        const auto index =
            look_up(run, Kind::setting, entry.key, entry.key_span, who, "asks for a setting");
        if (!index)
            continue;
        const SettingId id(*index);
        if (!hanging.empty() && run.knowledge[id].table)
            run.links.push_back({hanging, called("table", entry.key),
                                 hanging + " asks for table '" + entry.key + "'", entry.key_span});
        conditions.push_back({id, states_of(run, id, entry.value, who)});
    }
    return conditions;
}

std::optional<Channel> read_channel(Fields& fields, ReadRun& run, const Channel& otherwise,
                                    Must both) {
    const auto misses = fields.strength("misses", both);
    const auto false_alarm = fields.strength("false_alarm", both);
    if (!misses && !false_alarm)
        return std::nullopt;
    Channel channel = otherwise;
    if (misses) {
        channel.misses = misses->count;
        channel.misses_at = misses->span;
    }
    if (false_alarm) {
        channel.false_alarm = false_alarm->count;
        channel.false_alarm_at = false_alarm->span;
    }
    if (channel.misses.mean() + channel.false_alarm.mean() >= 1) {
        const Strength& at = misses ? *misses : *false_alarm;
        run.error("bad-channel", at.span,
                  "misses and false alarms of " + fields.who() + " make up 1 or more",
                  "such a report says nothing, or the opposite of what is so");
    }
    return channel;
}

std::string cure_of_stray_key(std::string_view name) {
    constexpr auto keys = std::to_array<std::string_view>(
        {"also",        "ask",     "basis",      "blocks",  "brought_on_by", "cautions",
         "channel",     "choices", "cleared_by", "do_now",  "during",        "fixes",
         "gives",       "hazards", "how",        "licence", "may_bring",     "mended_by",
         "minutes",     "needs",   "note",       "only_if", "part",          "parts",
         "present",     "price",   "raised_by",  "range",   "recheck",       "reveals",
         "seen_anyway", "shows",   "skill",      "starts",  "title",         "tools",
         "unit",        "when"});
    if (std::find(keys.begin(), keys.end(), name) == keys.end())
        return {};
    return "'" + std::string(name) +
           "' is a key of a whole definition: write it above the header of the table in which it "
           "stands now";
}

bool check_value_name(ReadRun& run, const Word& name, const std::string& who) {
    const std::string_view text = name.text;
    const bool good = !text.empty() && text.size() <= 80 && text.front() != ' ' &&
                      text.back() != ' ' && text.front() != '<' && text.front() != '>' &&
                      text.find_first_of("=@,") == std::string::npos &&
                      escape_controls(text) == text;
    if (!good)
        run.error("bad-name", name.span, who + " cannot call a value '" + text + "'",
                  "no blanks at the ends, no control characters, none of = @ and comma, no < "
                  "or > in front, at most 80 bytes");
    return good;
}

std::optional<std::size_t> look_up_value(ReadRun& run, SignId sign, const Word& name,
                                         const What& who) {
    const Sign& it = run.knowledge[sign];
    for (std::size_t value = 0; value < it.value_count(); ++value)
        if (it.value_name(value) == name.text)
            return value;
    if (run.shapeless.contains({Kind::sign, sign.index()}))
        return std::nullopt;
    std::vector<std::string> known;
    for (std::size_t value = 0; value < it.value_count(); ++value)
        known.push_back(it.value_name(value));
    run.error("unknown-level", name.span,
              who + ": sign '" + it.head.id + "' is never '" + name.text + "'",
              name.text == "no"  // of a sign with levels: the normal one is meant
                  ? "write instead: " + it.normal
                  : write_instead(run, name.text, known, "it is one of " + some_of(known, "or")),
              {{it.head.span, "the sign is defined here"}});
    return std::nullopt;
}

std::optional<std::size_t> look_up_state(ReadRun& run, SettingId setting, const Word& name,
                                         const std::string& who) {
    const Setting& it = run.knowledge[setting];
    const auto found = std::find(it.states.begin(), it.states.end(), name.text);
    if (found != it.states.end())
        return static_cast<std::size_t>(found - it.states.begin());
    if (!run.shapeless.contains({Kind::setting, setting.index()}))
        run.error(
            "unknown-choice", name.span,
            who + ": " + (it.table ? "table" : "setting") + " '" + it.head.id + "' is never '" +
                name.text + "'",
            write_instead(run, name.text, it.states, "it is one of " + some_of(it.states, "or")),
            {{it.head.span, "it is defined here"}});
    return std::nullopt;
}

std::vector<CauseStrength> read_cause_strengths(Fields& fields, ReadRun& run, std::string_view key,
                                                std::string_view role, Must must) {
    std::vector<CauseStrength> list;
    const Entry* table = fields.entry(key, Node::Kind::table, must);
    if (table == nullptr)
        return list;
    for (const Entry& entry : table->value.entries()) {
        const auto index = look_up(run, Kind::cause, entry.key, entry.key_span, fields.who(), role);
        const auto strength =
            as_strength(run, entry.value, {"'", entry.key, "' in ", fields.what(key)});
        if (index && strength)
            list.push_back({CauseId(*index), *strength});
    }
    return list;
}

}  // namespace knockwell
