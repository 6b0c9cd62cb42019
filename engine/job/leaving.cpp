#include "job/leaving.hpp"

#include "advice/candidate.hpp"
#include "base/quantity.hpp"
#include "base/words.hpp"
#include "beliefs/likelihood.hpp"
#include "job/course.hpp"
#include "job/vocabulary.hpp"
#include "knowledge/lookup.hpp"
#include "trade/atmosphere.hpp"

#include <algorithm>
#include <array>
#include <set>
#include <utility>

namespace knockwell {

namespace {

// How the first version of the program kept the same.
constexpr std::string_view closed_with_danger = "closed despite a stop: ";
constexpr std::string_view left_note = "as left: ";
constexpr std::string_view checked_note = "checked before leaving: ";
constexpr std::string_view not_here_in_a_note = " (there is no such thing here)";

// A gauge tells no less than this (psi; common practice, no source).
constexpr double gauge_tells = 2;

bool begins(std::string_view text, std::string_view with) { return text.rfind(with, 0) == 0; }

std::string rest(const std::string& text, std::string_view after) {
    return text.substr(after.size());
}

template <class Thing>
std::string none_called(const std::string& word, const std::vector<Thing>& all) {
    std::vector<std::string> words;
    for (const Thing& one : all)
        words.emplace_back(one.word);
    return none_of_these(word, words);
}

std::variant<double, std::string> value_in(const LeftReading& reading, const std::string& text) {
    const auto quantity = parse_quantity(text);
    if (const auto* wrong = std::get_if<std::string>(&quantity))
        return *wrong;
    auto value = convert(std::get<Quantity>(quantity), reading.unit);
    const auto* it = std::get_if<double>(&value);
    if (it != nullptr && (*it < 0 || *it > reading.most))
        return std::string(reading.word) + " goes from 0 to " + number(reading.most) + " " +
               std::string(reading.unit) + "; read it again";
    return value;
}

std::string against_line(const std::string& word, const std::string& value) {
    const LeavingCheck* check = leaving_check(word);
    if (check == nullptr)
        return none_called(word, leaving_checks());
    if (begins(value, without_prefix))
        return value.find_first_not_of(' ', without_prefix.size()) == std::string::npos
                   ? "say why it is left without"
                   : "";
    if (value == "not-here")
        return {};
    if (value != "checked")
        return in_quotes(value) + " is none of these: checked, not-here or without: and why";
    if (check->readings.empty())
        return {};
    std::vector<std::string> wanted;
    for (const std::string_view reading : check->readings)
        wanted.push_back("--as-left " + std::string(reading) + "=...");
    return "it is shown by what was read: " + list_of(wanted);
}

/// Whether it was stated that the power is off, the pressure let out or the tank drained.
bool opened_up(const Event& event) {
    return event.kind == EventKind::state &&
           (event.value == "off" || event.value == "zero" || event.value == "drained");
}

/// The number of the last entry after which nothing that was said before says how the place is
/// left.
std::uint32_t last_change(const Job& job) {
    std::set<std::uint32_t> closings;
    std::uint32_t last = 0;
    for (const Event& event : job.events)
        if (event.kind == EventKind::closed)
            closings.insert(event.number);
    for (const Event& event : job.events)
        if (event.kind == EventKind::undo)
            if (const auto number = event_number(event.what); number && closings.contains(*number))
                last = std::max(last, event.number);
    for (const Event& event : standing(job)) {
        if (event.kind == EventKind::did || opened_up(event))
            last = std::max(last, event.number);
    }
    return last;
}

void take_note(const std::string& note, LeavingNow& now) {
    if (begins(note, left_note)) {
        const std::string says = rest(note, left_note);
        const std::size_t equals = says.find(" = ");
        const LeftReading* reading = left_reading(says.substr(0, equals));
        if (reading == nullptr || equals == std::string::npos)
            return;
        const auto value = value_in(*reading, says.substr(equals + 3));
        if (const auto* it = std::get_if<double>(&value))
            now.readings[std::string(reading->word)] = *it;
    } else if (begins(note, checked_note)) {
        std::string word = rest(note, checked_note);
        const std::size_t at = word.find(not_here_in_a_note);
        const bool here = at == std::string::npos;
        word = word.substr(0, at);
        for (const LeavingCheck& check : leaving_checks())
            if (word == "all" || word == check.word)
                now.said[std::string(check.word)] = here ? "checked" : "not-here";
    }
}

void take_line(const std::string& word, const std::string& value, LeavingNow& now) {
    now.said.erase(word);
    now.without.erase(word);
    if (begins(value, without_prefix))
        now.without[word] = rest(value, without_prefix);
    else
        now.said[word] = value;
}

bool above_the_owner(const Knowledge& knowledge, const Step& step) {
    const auto way = way_to(knowledge, step.at);
    return step.needs.skill != Skill::owner ||
           std::any_of(way.begin(), way.end(),
                       [&](AccessId at) { return knowledge[at].skill != Skill::owner; });
}

/// Whether `does` holds of the repair or the test of an entry, which may be one that the knowledge
/// has no more; of other entries it is false.
template <class Does>
bool step_does(const Knowledge& knowledge, const Event& event, Does does) {
    switch (event.kind) {
    case EventKind::did:
        return does(repair_named(knowledge, event.what));
    case EventKind::did_test:
        return does(test_named(knowledge, event.what));
    case EventKind::found: {
        const auto test = value_and_test(event.value).test;
        return test && does(test_named(knowledge, *test));
    }
    default:
        return false;
    }
}

/// Whether anybody but the owner had a hand in it.
bool hands_on(const Knowledge& knowledge, const Job& job) {
    const auto is_above = [&](auto id) {
        return !id.valid() || above_the_owner(knowledge, knowledge[id].step);
    };
    const std::vector<Event> stands = standing(job);
    return std::any_of(stands.begin(), stands.end(), [&](const Event& event) {
        return (event.kind == EventKind::person && !begins(event.value, "owner")) ||
               opened_up(event) || step_does(knowledge, event, is_above);
    });
}

/// Whether anything was locked out or opened, or met live: by what was done, looked at or stated.
bool came_to_power(const Knowledge& knowledge, const Job& job) {
    const auto does = [&](auto id) {
        if (!id.valid())
            return true;
        const Candidate step = candidate(knowledge, id);
        return meets(step, Hazard::live) || wants_lockout(knowledge, step, {});
    };
    const auto opens = [&](AccessId at) {
        const std::vector<AccessId> way = way_to(knowledge, at);
        return std::any_of(way.begin(), way.end(), [&](AccessId one) {
            const std::vector<Hazard>& hazards = knowledge[one].hazards;
            return knowledge[one].power_off || knowledge[one].pressure_zero ||
                   std::find(hazards.begin(), hazards.end(), Hazard::live) != hazards.end();
        });
    };
    const std::vector<Event> stands = standing(job);
    return std::any_of(stands.begin(), stands.end(), [&](const Event& event) {
        return opened_up(event) || step_does(knowledge, event, does) ||
               (event.kind == EventKind::state && event.what == "access" &&
                opens(access_named(knowledge, event.value)));
    });
}

/// Whether every repair mends only what has nothing to do with pump, tank and their switch, and
/// power was left alone: salt in a softener moves no needle.
bool far_from_the_pump(const Knowledge& knowledge, const Job& job) {
    constexpr std::array<std::string_view, 3> far = {"house plumbing", "treatment", "water"};
    bool any = false;
    for (const Event& event : standing(job)) {
        if (event.kind != EventKind::did)
            continue;
        const RepairId repair = repair_named(knowledge, event.what);
        if (!repair.valid())
            return false;
        for (const CauseStrength& fix : knowledge[repair].fixes) {
            any = true;
            if (std::find(far.begin(), far.end(), knowledge[fix.cause].part) == far.end())
                return false;
        }
    }
    return any && !came_to_power(knowledge, job);
}

/// Titles of the tests that show that the repairs hold and that found nothing since.
std::vector<std::string> rechecks_left(const Knowledge& knowledge, const Job& job) {
    std::vector<TestId> left;
    for (const Event& event : standing(job)) {
        TestId made;
        if (event.kind == EventKind::found)
            made = test_named(knowledge, value_and_test(event.value).test.value_or(""));
        if (event.kind == EventKind::did_test)
            made = test_named(knowledge, event.what);
        std::erase_if(left, [&](TestId test) { return made.valid() && test == made; });
        if (event.kind != EventKind::did)
            continue;
        if (const RepairId repair = repair_named(knowledge, event.what); repair.valid())
            for (const TestId test : knowledge[repair].recheck)
                if (std::find(left.begin(), left.end(), test) == left.end())
                    left.push_back(test);
    }
    std::vector<std::string> titles;
    for (const TestId test : left)
        titles.push_back(knowledge[test].step.head.title);
    return titles;
}

bool any_repair(const Job& job) {
    const std::vector<Event> stands = standing(job);
    return std::any_of(stands.begin(), stands.end(),
                       [](const Event& event) { return event.kind == EventKind::did; });
}

/// Whether a known setting says that there is no such thing.
bool is_excluded(const Knowledge& knowledge, const Evidence& evidence, const LeavingCheck& check) {
    const std::size_t equals = check.not_with.find('=');
    const SettingId setting = setting_named(knowledge, check.not_with.substr(0, equals));
    if (!setting.valid())
        return false;
    const auto known = evidence.settings.find(setting);
    return known != evidence.settings.end() &&
           knowledge[setting].states[known->second] == check.not_with.substr(equals + 1);
}

/// What the readings say against a line.
/// `plate`: the lowest rating of tank and relief valve, psi, where it is known.
std::string contradicted(std::string_view word, const std::map<std::string, double>& readings,
                         std::optional<double> plate = {}) {
    const auto reading = [&](const char* what) {
        const auto it = readings.find(what);
        return it == readings.end() ? std::optional<double>() : it->second;
    };
    const auto in = reading("cut-in");
    if (const auto out = reading("cut-out"); word == "cut-in-out" && in && out && *out <= *in)
        return "cut-out " + number(*out) + " psi is not above cut-in " + number(*in) +
               " psi: read both again";
    if (const auto out = reading("cut-out");
        word == "cut-in-out" && out && plate && *out > near_the_plate * *plate)
        return "cut-out " + number(*out) + " psi is too near the lowest plate, " + number(*plate) +
               " psi, or past it: set the switch lower";
    if (const auto amps = reading("amps"); word == "amps" && amps && *amps <= 0)
        return "at 0 A the motor does not run: clamp it while it does";
    if (const auto air = reading("precharge"); word == "precharge" && in && air && *air >= *in)
        return "precharge " + number(*air) + " psi is not under cut-in " + number(*in) + " psi";
    if (const auto lost = reading("leak-down"); word == "leak-down" && lost && *lost > gauge_tells)
        return number(*lost) + " psi are lost in ten minutes: it does not hold";
    return {};
}

/// Readings that no place can show, mended or not: whoever closes the job reads them again.
bool cannot_be(std::string_view word, const std::map<std::string, double>& readings) {
    return word == "cut-in-out" && !contradicted(word, readings).empty();
}

bool has_readings(const LeavingCheck& check, const LeavingNow& now) {
    return !check.readings.empty() &&
           std::all_of(check.readings.begin(), check.readings.end(), [&](std::string_view one) {
               return now.readings.contains(std::string(one));
           });
}

}  // namespace

std::string despite_note(const std::string& words) {
    return std::string(closed_with_danger) + words;
}

std::vector<std::string> closed_despite(const Job& job) {
    std::vector<std::string> all;
    for (const Event& event : standing(job))
        if (event.kind == EventKind::note && begins(event.value, closed_with_danger))
            all.push_back(rest(event.value, closed_with_danger));
    return all;
}

bool counts_as_checked(std::string_view note) {
    return begins(note, left_note) || begins(note, checked_note);
}

bool is_about_leaving(const Event& event) {
    return event.kind == EventKind::about &&
           (begins(event.what, left_prefix) || begins(event.what, leaving_prefix));
}

std::string against_leaving(const Event& event) {
    if (begins(event.what, leaving_prefix))
        return against_line(rest(event.what, leaving_prefix), event.value);
    const std::string word = rest(event.what, left_prefix);
    const LeftReading* reading = left_reading(word);
    if (reading == nullptr)
        return none_called(word, left_readings());
    const auto value = value_in(*reading, event.value);
    const auto* wrong = std::get_if<std::string>(&value);
    return wrong == nullptr ? "" : *wrong;
}

Event spelled_leaving(Event event) {
    if (!begins(event.what, left_prefix))
        return event;
    if (const LeftReading* reading = left_reading(rest(event.what, left_prefix))) {
        const auto value = value_in(*reading, event.value);
        if (const auto* it = std::get_if<double>(&value))
            event.value = number(*it) + " " + std::string(reading->unit);
    }
    return event;
}

LeavingNow leaving_of(const Job& job) {
    LeavingNow now;
    const std::uint32_t changed = last_change(job);
    for (const Event& event : standing(job)) {
        if (event.number <= changed)
            continue;
        if (event.kind == EventKind::note)
            take_note(event.value, now);
        if (!is_about_leaving(event) || !against_leaving(event).empty())
            continue;
        if (begins(event.what, leaving_prefix)) {
            take_line(rest(event.what, leaving_prefix), event.value, now);
            continue;
        }
        const LeftReading* reading = left_reading(rest(event.what, left_prefix));
        now.readings[std::string(reading->word)] =
            std::get<double>(value_in(*reading, event.value));
    }
    return now;
}

std::string misread(const LeavingNow& now) {
    for (const LeavingCheck& check : leaving_checks())
        if (const std::string word(check.word); cannot_be(word, now.readings) &&
                                                !now.said.contains(word) &&
                                                !now.without.contains(word))
            return contradicted(word, now.readings);
    return {};
}

std::vector<OpenLine> still_open(const Knowledge& knowledge, const Job& job, bool cured) {
    const LeavingNow now = leaving_of(job);
    const Evidence evidence = course_of(knowledge, job).evidence;
    const bool owner_alone = !hands_on(knowledge, job);
    const std::vector<std::string> rechecks = rechecks_left(knowledge, job);
    const bool far = far_from_the_pump(knowledge, job);
    const bool repaired = any_repair(job);
    const std::optional<double> plate = known_quantity(knowledge, evidence, "lowest-rating");
    std::vector<OpenLine> open;
    for (const LeavingCheck& check : leaving_checks()) {
        const std::string word(check.word);
        if (now.said.contains(word) || now.without.contains(word))
            continue;
        std::string against = contradicted(word, now.readings, plate);
        const bool impossible = cannot_be(word, now.readings);
        if (!impossible && ((check.cured && !cured) || is_excluded(knowledge, evidence, check)))
            continue;
        if (check.of_the_pump && far && against.empty())
            continue;
        const bool about_a_repair = word == "killer" || word == "recheck";
        if (about_a_repair ? !repaired : owner_alone && !check.owner && !impossible)
            continue;
        if (word == "recheck" && rechecks.empty())
            continue;
        if (has_readings(check, now) && against.empty())
            continue;
        open.push_back({word,
                        word == "recheck" ? std::string(check.says) + ": " + list_of(rechecks) + "."
                                          : std::string(check.says),
                        std::move(against)});
    }
    return open;
}

}  // namespace knockwell
