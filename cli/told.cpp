#include "cli/told.hpp"

#include "base/words.hpp"
#include "beliefs/finding.hpp"
#include "cli/pick.hpp"
#include "job/leaving.hpp"
#include "knowledge/lookup.hpp"

#include <algorithm>
#include <optional>
#include <utility>

namespace knockwell {
namespace {

struct Pair {
    std::string what;
    std::string value;  // with "@test" where one was typed
};

/// "SIGN=VALUE@TEST" at its first '='; "SIGN@TEST" at its first '@'.
Pair split(const std::string& typed) {
    std::size_t at = typed.find('=');
    if (at != std::string::npos)
        return {typed.substr(0, at), typed.substr(at + 1)};
    at = typed.find('@');
    if (at == std::string::npos)
        return {typed, ""};
    return {typed.substr(0, at), typed.substr(at)};
}

Event event(std::int64_t at, EventKind kind, std::string what, std::string value) {
    Event made;
    made.at = at;
    made.kind = kind;
    made.what = std::move(what);
    made.value = std::move(value);
    return made;
}

template <class Thing>
std::vector<Pickable> pickables(const std::vector<Thing>& things) {
    std::vector<Pickable> all;
    for (const Thing& thing : things)
        all.push_back({thing.head.id, thing.head.title});
    return all;
}

template <class Thing>
std::vector<Pickable> steps(const std::vector<Thing>& things) {
    std::vector<Pickable> all;
    for (const Thing& thing : things)
        all.push_back({thing.step.head.id, thing.step.head.title});
    return all;
}

std::string option(std::string_view name, const std::string& typed) {
    return std::string(name) + " " + typed;
}

/// Collects events, or the first reason against them.
class Reader {
public:
    Reader(const Knowledge& knowledge, std::int64_t at) : knowledge_(&knowledge), at_(at) {}

    void add(EventKind kind, std::string what, std::string value) {
        events_.push_back(event(at_, kind, std::move(what), std::move(value)));
    }
    void refuse(Refused why) {
        if (!refused_)
            refused_ = std::move(why);
    }
    void refuse(std::string_view where, const NotNamed& why) {
        refuse(refused(where, why.says, why.nearest));
    }

    void set(const std::string& typed);
    void sign(const std::string& typed, std::string_view name, EventKind kind, Via via);
    void person(const Told& told);
    void places(const Told& told);
    void truck(const std::string& typed, std::string_view name, const std::string& what);
    void pass(const std::string& typed, std::string_view name, const std::string& how);

    [[nodiscard]] std::variant<std::vector<Event>, Refused> done() {
        if (refused_)
            return *refused_;
        return std::move(events_);
    }

private:
    const Knowledge* knowledge_;
    std::int64_t at_;
    std::vector<Event> events_;
    std::optional<Refused> refused_;
};

void Reader::set(const std::string& typed) {
    const Pair pair = split(typed);
    const auto read = read_setting(*knowledge_, pair.what, pair.value);
    if (const auto* none = std::get_if<NotNamed>(&read)) {
        refuse(option("--set", typed), *none);
    } else if (const auto* setting = std::get_if<KnownSetting>(&read)) {
        const Setting& known = (*knowledge_)[setting->setting];
        add(EventKind::set, known.head.id, known.states[setting->state]);
    } else {
        add(EventKind::set, std::get<KnownQuantity>(read).name, pair.value);
    }
}

/// "SIGN=" and "SIGN=@TEST": most often a variable of a script that was never set, which must not
/// say yes.
bool has_an_empty_value(const std::string& typed) {
    const std::size_t at = typed.find('=');
    return at != std::string::npos &&
           trimmed(value_and_test(std::string_view(typed).substr(at + 1)).value).empty();
}

void Reader::sign(const std::string& typed, std::string_view name, EventKind kind, Via via) {
    if (has_an_empty_value(typed))
        refuse(refused(option(name, typed), "the value is empty; leave '=' out to say yes", {}));
    const Pair pair = split(typed);
    const auto read = read_finding(*knowledge_, pair.what, pair.value, via);
    if (const auto* none = std::get_if<NotNamed>(&read)) {
        refuse(option(name, typed), *none);
    } else if (const auto* finding = std::get_if<Finding>(&read)) {
        const std::string& id =
            std::visit([&](auto what) -> const std::string& { return (*knowledge_)[what].head.id; },
                       finding->what);
        if (const std::string why = against_loose_value(*knowledge_, *finding, pair.value);
            !why.empty())
            refuse(refused(option(name, typed), id + ": " + why, {}));
        add(kind, id, pair.value);
    } else {
        add(kind, (*knowledge_)[std::get<KnownCause>(read).cause].head.id, pair.value);
    }
}

void Reader::person(const Told& told) {
    if (told.who.empty()) {
        if (!told.licences.empty())
            refuse(refused("--licence " + told.licences.front(),
                           "say who holds it: --who qualified", {}));
        return;
    }
    std::string value = told.who;
    const std::vector<Pickable> known = {
        {"electrician", ""}, {"pump-installer", ""}, {"well-contractor", ""}, {"laboratory", ""}};
    for (const std::string& typed : told.licences) {
        const auto picked = pick(known, typed, "licence");
        if (std::holds_alternative<NotPicked>(picked)) {
            refuse(refused(
                option("--licence", typed),
                "a licence is electrician, pump-installer, well-contractor or laboratory", {}));
            return;
        }
        value += " " + known[std::get<0>(picked)].id;
    }
    add(EventKind::person, "", value);
}

// Power and water come first: to come back they close in mind what is opened only without them, and
// a cover that is said to be off in the same breath is off all the same.
void Reader::places(const Told& told) {
    if (!told.power.empty())
        add(EventKind::state, "power", told.power);
    if (!told.pressure.empty())
        add(EventKind::state, "pressure", told.pressure);
    if (!told.tank.empty())
        add(EventKind::state, "tank", told.tank);
    for (const std::string& typed : told.at) {
        const auto picked = pick(pickables(knowledge_->accesses), typed, "access");
        if (const auto* none = std::get_if<NotPicked>(&picked)) {
            refuse(refused(option("--at", typed), none->says, none->nearest));
        } else {
            add(EventKind::state, "access", knowledge_->accesses[std::get<0>(picked)].head.id);
        }
    }
}

void Reader::truck(const std::string& typed, std::string_view name, const std::string& what) {
    std::vector<Pickable> all = pickables(knowledge_->parts);
    const std::size_t parts = all.size();
    for (const std::string& tool : all_tools(*knowledge_))
        all.push_back({tool, ""});
    const auto picked = pick(all, typed, "item");
    if (const auto* none = std::get_if<NotPicked>(&picked)) {
        refuse(refused(option(name, typed), none->says, none->nearest));
        return;
    }
    const std::size_t place = std::get<0>(picked);
    add(EventKind::state, what, (place < parts ? "part:" : "tool:") + all[place].id);
}

void Reader::pass(const std::string& typed, std::string_view name, const std::string& how) {
    struct Group {
        std::string kind;
        std::vector<Pickable> all;
    };
    const std::vector<Group> groups = {{"test", steps(knowledge_->tests)},
                                       {"repair", steps(knowledge_->repairs)},
                                       {"refer", pickables(knowledge_->refers)},
                                       {"question", pickables(knowledge_->signs)},
                                       {"setting", pickables(knowledge_->settings)}};
    std::vector<Pickable> everything;
    std::vector<std::string> kinds;
    for (const Group& group : groups) {
        for (const Pickable& one : group.all) {
            everything.push_back(one);
            kinds.push_back(group.kind);
        }
    }
    const std::size_t colon = typed.find(':');
    if (colon != std::string::npos) {
        for (std::size_t i = 0; i < kinds.size(); ++i) {
            if (typed == kinds[i] + ":" + everything[i].id)
                return add(EventKind::pass, typed, how);
        }
    }
    const auto picked = pick(everything, typed, "step");
    if (const auto* none = std::get_if<NotPicked>(&picked)) {
        refuse(refused(option(name, typed), none->says, none->nearest));
        return;
    }
    const std::size_t place = std::get<0>(picked);
    add(EventKind::pass, kinds[place] + ":" + everything[place].id, how);
}

}  // namespace

Refused refused(std::string_view where, std::string_view what,
                const std::vector<std::string>& nearest_names) {
    std::string text = "knockwell: " + echo(where) + ": " + shortened(escape_controls(what)) + "\n";
    for (std::size_t i = 0; i < nearest_names.size(); ++i) {
        text += (i == 0 ? "  nearest: " : "           ") + escape_controls(nearest_names[i]) + "\n";
    }
    return {text};
}

std::variant<std::vector<Event>, Refused> events_of(const Knowledge& knowledge, const Told& told,
                                                    std::int64_t at) {
    Reader reader(knowledge, at);
    if (!told.note.empty())
        reader.add(EventKind::note, "", told.note);
    // Who is there and who left come first: they make place and state be forgotten.
    if (told.left)
        reader.add(EventKind::left, "", "");
    reader.person(told);
    if (told.on_site)
        reader.add(EventKind::resumed, "", "");
    for (const std::string& typed : told.set)
        reader.set(typed);
    for (const std::string& typed : told.says)
        reader.sign(typed, "--says", EventKind::said, Via::told);
    for (const std::string& typed : told.found)
        reader.sign(typed, "--found", EventKind::found, Via::looked);
    for (const std::string& typed : told.cannot)
        reader.pass(typed, "--cannot", "cannot");
    for (const std::string& typed : told.not_sure)
        reader.pass(typed, "--not-sure", "not-sure");
    for (const std::string& typed : told.lacks)
        reader.truck(typed, "--lacks", "lacks");
    for (const std::string& typed : told.carries)
        reader.truck(typed, "--carries", "carries");
    // Where one stands is what holds now, after all that was looked at.
    reader.places(told);
    return reader.done();
}

std::vector<std::string> taken_loosely(const Knowledge& knowledge, const Told& told) {
    std::vector<std::string> lines;
    const auto look_at = [&](std::string_view name, const std::string& typed, Wanted wanted) {
        const std::string what = split(typed).what;
        const auto named = find_named(knowledge, what, wanted);
        const auto* const it = std::get_if<Named>(&named);
        if (it != nullptr && !is_said_in_full(knowledge, *it, what))
            lines.push_back(echo(option(name, typed)) +
                            escape_controls(": taken as " + id_of(knowledge, *it) + " (" +
                                            title_of(knowledge, *it) + ")"));
    };
    for (const std::string& typed : told.says)
        look_at("--says", typed, Wanted::told);
    for (const std::string& typed : told.found)
        look_at("--found", typed, Wanted::findable);
    return lines;
}

std::variant<std::vector<Event>, Refused> events_of(const Knowledge& knowledge,
                                                    const DidCommand& did, std::int64_t at) {
    std::vector<Pickable> all = steps(knowledge.repairs);
    const std::vector<Pickable> tests = steps(knowledge.tests);
    all.insert(all.end(), tests.begin(), tests.end());
    const auto picked = pick(all, did.what, "repair or test");
    if (const auto* none = std::get_if<NotPicked>(&picked))
        return refused("did " + did.what, none->says, none->nearest);
    const std::size_t place = std::get<0>(picked);
    const bool repair = place < knowledge.repairs.size();
    Event made = event(at, repair ? EventKind::did : EventKind::did_test, all[place].id, "");
    made.minutes = did.minutes;
    std::vector<Event> events;
    if (!did.note.empty())
        events.push_back(event(at, EventKind::note, "", did.note));
    events.push_back(made);  // last, so that undo takes the deed back and not the note to it
    return events;
}

namespace {

/// "cut-in=38psi" -> the reading as it is left, "system-pressure=58psi" -> a finding.
std::variant<Event, Refused> as_left(const Knowledge& knowledge, const std::string& typed,
                                     std::int64_t at) {
    const Pair pair = split(typed);
    if (left_reading(pair.what) != nullptr) {
        Event kept = event(at, EventKind::about, std::string(left_prefix) + pair.what, pair.value);
        if (const std::string why = against_leaving(kept); !why.empty())
            return refused(option("--as-left", typed), why, {});
        return kept;
    }
    const auto read = read_finding(knowledge, pair.what, pair.value, Via::looked);
    if (const auto* none = std::get_if<NotNamed>(&read))
        return refused(option("--as-left", typed), none->says, none->nearest);
    const auto* finding = std::get_if<Finding>(&read);
    if (finding == nullptr)
        return refused(option("--as-left", typed), "a reading is a sign; causes go with --cause",
                       {});
    const std::string& id = std::visit(
        [&](auto what) -> const std::string& { return knowledge[what].head.id; }, finding->what);
    if (const std::string why = against_loose_value(knowledge, *finding, pair.value); !why.empty())
        return refused(option("--as-left", typed), id + ": " + why, {});
    return event(at, EventKind::found, id, pair.value);
}

/// "covers,valves" -> an entry each, with that value.
std::variant<std::vector<Event>, Refused> lines(std::string_view name, const std::string& typed,
                                                const std::string& words, const std::string& value,
                                                std::int64_t at) {
    std::vector<Event> events;
    std::size_t begin = 0;
    while (begin <= words.size()) {
        const std::size_t end = std::min(words.find(',', begin), words.size());
        const std::string word(trimmed(words.substr(begin, end - begin)));
        events.push_back(event(at, EventKind::about, std::string(leaving_prefix) + word, value));
        if (const std::string why = against_leaving(events.back()); !why.empty()) {
            // `why` quotes what was typed, escaped already.
            Refused all = refused(option(name, typed), "", {});
            all.text.pop_back();
            all.text += why + "\n";
            return all;
        }
        begin = end + 1;
    }
    return events;
}

}  // namespace

std::variant<std::vector<Event>, Refused>
events_of_leaving(const Knowledge& knowledge, const CloseCommand& close, std::int64_t at) {
    std::vector<Event> events;
    for (const std::string& typed : close.left) {
        auto kept = as_left(knowledge, typed, at);
        if (const auto* none = std::get_if<Refused>(&kept))
            return *none;
        events.push_back(std::get<Event>(std::move(kept)));
    }
    struct Said {
        std::string_view name;
        std::string typed;
        std::string words;
        std::string value;
    };
    std::vector<Said> all;
    for (const std::string& typed : close.checked)
        all.push_back({"--checked", typed, typed, "checked"});
    for (const std::string& typed : close.not_here)
        all.push_back({"--not-here", typed, typed, "not-here"});
    for (const std::string& typed : close.without) {
        const std::size_t equals = typed.find('=');
        const std::string why = equals == std::string::npos ? "" : typed.substr(equals + 1);
        all.push_back(
            {"--without", typed, typed.substr(0, equals), std::string(without_prefix) + why});
    }
    for (const Said& said : all) {
        auto kept = lines(said.name, said.typed, said.words, said.value, at);
        if (const auto* none = std::get_if<Refused>(&kept))
            return *none;
        for (Event& one : std::get<0>(kept))
            events.push_back(std::move(one));
    }
    return events;
}

std::variant<CauseId, Refused> find_cause(const Knowledge& knowledge, std::string_view typed) {
    const auto picked = pick(pickables(knowledge.causes), typed, "cause");
    if (const auto* none = std::get_if<NotPicked>(&picked))
        return refused(typed, none->says, none->nearest);
    return CauseId{std::get<0>(picked)};
}

std::variant<RepairId, Refused> find_repair(const Knowledge& knowledge, std::string_view typed) {
    const auto picked = pick(steps(knowledge.repairs), typed, "repair");
    if (const auto* none = std::get_if<NotPicked>(&picked))
        return refused(typed, none->says, none->nearest);
    return RepairId{std::get<0>(picked)};
}

std::vector<Event> confirming(const Job& job, const std::string& cause, const std::string& how,
                              std::int64_t at) {
    std::vector<Event> events;
    for (const Event& earlier : standing(job))
        if (earlier.kind == EventKind::cause && earlier.what == cause)
            events.push_back(event(at, EventKind::instead, std::to_string(earlier.number), how));
    if (events.empty())
        events.push_back(event(at, EventKind::cause, cause, how));
    return events;
}

std::variant<std::vector<Event>, Refused> events_of_causes(const Knowledge& knowledge,
                                                           const Job& job,
                                                           const std::vector<std::string>& typed,
                                                           std::int64_t at) {
    const std::vector<Pickable> ways = {{"seen", ""}, {"fixed-it", ""}, {"guessed", ""}};
    std::vector<Pair> causes;
    for (const std::string& one : typed) {
        const Pair pair = split(one);
        const auto cause = find_cause(knowledge, pair.what);
        if (const auto* none = std::get_if<Refused>(&cause))
            return *none;
        const auto way = pick(ways, pair.value, "way of knowing");
        if (std::holds_alternative<NotPicked>(way))
            return refused("--cause " + one, "say how surely: =seen, =fixed-it or =guessed", {});
        const std::string& id = knowledge[std::get<CauseId>(cause)].head.id;
        std::erase_if(causes, [&](const Pair& earlier) { return earlier.what == id; });
        causes.push_back({id, ways[std::get<0>(way)].id});
    }
    std::vector<Event> events;
    for (const Pair& cause : causes)
        for (Event& one : confirming(job, cause.what, cause.value, at))
            events.push_back(std::move(one));
    return events;
}

std::variant<std::vector<Event>, Refused> events_of(const Knowledge& knowledge, const Job& job,
                                                    const CloseCommand& close, std::int64_t at) {
    auto causes = events_of_causes(knowledge, job, close.causes, at);
    if (std::holds_alternative<Refused>(causes))
        return causes;
    std::vector<Event> events = std::get<0>(std::move(causes));
    if (!close.despite.empty())
        events.push_back(event(at, EventKind::note, "", despite_note(close.despite)));
    if (!close.note.empty())
        events.push_back(event(at, EventKind::note, "", close.note));
    events.push_back(event(at, EventKind::closed, "", close.outcome));
    return events;
}

std::variant<CauseId, Candidate, Refused> find_cause_or_look(const Knowledge& knowledge,
                                                             std::string_view typed) {
    std::vector<Pickable> all = pickables(knowledge.causes);
    std::vector<Candidate> looks;
    const auto offer = [&](Candidate look) {
        all.push_back({look.id, look.title});
        looks.push_back(std::move(look));
    };
    for (std::size_t i = 0; i < knowledge.tests.size(); ++i)
        offer(candidate(knowledge, TestId(i)));
    for (std::size_t i = 0; i < knowledge.signs.size(); ++i)
        if (knowledge.signs[i].symptom)
            offer(candidate(knowledge, SignId(i)));
    for (std::size_t i = 0; i < knowledge.settings.size(); ++i)
        if (!knowledge.settings[i].table)
            offer(candidate(knowledge, SettingId(i)));
    const std::size_t causes = knowledge.causes.size();
    const auto exact = [&](const auto& one) { return one.id == typed; };
    const bool is_a_cause = cause_named(knowledge, typed).valid();
    if (const auto look = std::find_if(looks.begin(), looks.end(), exact);
        look != looks.end() && !is_a_cause)
        return *look;
    // A cause goes before a look that is called alike.
    const auto cause = pick(pickables(knowledge.causes), typed, "cause");
    if (const auto* place = std::get_if<std::size_t>(&cause))
        return CauseId(*place);
    const auto picked = pick(all, typed, "cause or look");
    if (const auto* none = std::get_if<NotPicked>(&picked))
        return refused(typed, none->says, none->nearest);
    const std::size_t place = std::get<std::size_t>(picked);
    if (place < causes)
        return CauseId(place);
    return looks[place - causes];
}

}  // namespace knockwell
