#include "base/quantity.hpp"
#include "base/words.hpp"
#include "beliefs/finding.hpp"
#include "job/apply.hpp"
#include "job/course.hpp"
#include "job/identity.hpp"
#include "job/leaving.hpp"
#include "job/time_text.hpp"

#include <algorithm>
#include <cmath>
#include <variant>

namespace knockwell {
namespace {

std::string against_text(const Event& event) {
    const auto bad = [](const std::string& text) {
        return std::any_of(text.begin(), text.end(), [](char c) {
            return (static_cast<unsigned char>(c) < 0x20 && c != '\n' && c != '\t') || c == 0x7f;
        });
    };
    if (bad(event.what) || bad(event.value))
        return "it has control characters in it";
    if (event.what.size() > longest_what || event.value.size() > longest_value)
        return "it is longer than an event can hold";
    return {};
}

std::string against_numbers(const Event& event) {
    if (!std::isfinite(event.minutes) || event.minutes < 0 || event.minutes > most_minutes)
        return "minutes go from 0 to " + number(most_minutes);
    return against_time("the time", event.at);
}

/// Nothing was said or done on a job before it was opened: one of the two clocks is wrong.
std::string against_order(const Job& job, const Event& event) {
    if (event.at >= job.opened)
        return {};
    return "its time, " + format_time(event.at) + ", is before job " + short_id(job.id) +
           " was opened, " + format_time(job.opened) +
           "; set the clock or say --now, or say with --job which job is meant";
}

/// The event that a correction names, where it has one.
std::variant<const Event*, std::string> target_of(const Job& job, const Event& event) {
    const auto wanted = event_number(event.what);
    if (!wanted)
        return event.kind == EventKind::undo ? "an undo names the number of an event"
                                             : "a correction names the number of an event";
    const auto target =
        std::find_if(job.events.begin(), job.events.end(),
                     [&](const Event& earlier) { return earlier.number == *wanted; });
    const std::string name = "event " + std::to_string(*wanted);
    if (target == job.events.end())
        return "there is no " + name + "; the last one is " + std::to_string(job.events.size());
    if (target->kind == EventKind::undo)
        return name + " is itself an undo; enter again what it took back";
    if (is_taken_back(job, *wanted))
        return name + " is already taken back";
    return &*target;
}

/// The job as it was before the event of that number.
Job before(const Job& job, std::uint32_t number) {
    Job earlier = job;
    earlier.events.clear();
    for (Event& event : standing(job))
        if (event.number < number)
            earlier.events.push_back(std::move(event));
    return earlier;
}

std::string against_instead(const Knowledge& knowledge, const Job& job, const Event& event,
                            const Event& target) {
    if (target.kind == EventKind::instead)
        return "event " + event.what + " is itself a correction; correct event " + target.what;
    Event corrected = target;
    corrected.value = event.value;
    if (event.minutes > 0)
        corrected.minutes = event.minutes;
    Course course = course_of(knowledge, before(job, target.number));
    return apply(knowledge, corrected, course);
}

std::string against_correction(const Knowledge& knowledge, const Job& job, const Event& event) {
    const auto target = target_of(job, event);
    if (const auto* why = std::get_if<std::string>(&target))
        return *why;
    if (event.kind == EventKind::undo)
        return {};
    return against_instead(knowledge, job, event, *std::get<const Event*>(target));
}

/// The value's name, or the number with its unit; `test` goes behind it.
std::string full_value(const Knowledge& knowledge, const Finding& finding,
                       const std::string& typed) {
    std::string value(value_and_test(typed).value);
    const auto* sign = std::get_if<SignId>(&finding.what);
    if (finding.value) {
        value = sign != nullptr
                    ? knowledge[*sign].value_name(*finding.value)
                    : knowledge[std::get<SettingId>(finding.what)].states[*finding.value];
    } else if (finding.reading && sign != nullptr) {
        const auto parsed = parse_quantity(value);
        if (parsed.index() == 0 && std::get<Quantity>(parsed).unit.empty())
            value += " " + knowledge[*sign].reading->unit;
    } else if (value.find('=') == std::string::npos) {  // else inputs, kept as they were typed
        value = "yes";
    }
    if (finding.via == Via::test)
        value += "@" + knowledge[finding.test].step.head.id;
    return value;
}

void spell_finding(const Knowledge& knowledge, Via via, Event& event) {
    const auto read = read_finding(knowledge, event.what, event.value, via);
    if (const auto* finding = std::get_if<Finding>(&read)) {
        event.what = std::visit([&](auto what) { return knowledge[what].head.id; }, finding->what);
        event.value = full_value(knowledge, *finding, event.value);
    } else if (const auto* cause = std::get_if<KnownCause>(&read)) {
        event.what = knowledge[cause->cause].head.id;
        event.value = cause->present ? "yes" : "no";
    }
}

void spell_setting(const Knowledge& knowledge, Event& event) {
    const auto read = read_setting(knowledge, event.what, event.value);
    if (const auto* setting = std::get_if<KnownSetting>(&read)) {
        event.what = knowledge[setting->setting].head.id;
        event.value = knowledge[setting->setting].states[setting->state];
        return;
    }
    const auto* quantity = std::get_if<KnownQuantity>(&read);
    const auto parsed = parse_quantity(event.value);
    if (quantity == nullptr || parsed.index() != 0 || !std::get<Quantity>(parsed).unit.empty())
        return;
    for (const Setting& setting : knowledge.settings)
        if (!setting.gives.empty() && setting.gives.front().contains(quantity->name) &&
            !setting.unit.empty()) {
            event.value += " " + setting.unit;
            return;
        }
}

}  // namespace

std::string against_code(const std::string& code) {
    if (code.empty())
        return "is empty";
    if (code.size() > longest_what)
        return "is longer than " + std::to_string(longest_what) + " bytes";
    if (std::any_of(code.begin(), code.end(),
                    [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; }))
        return "has control characters in it";
    if (escape_controls(code) != code)
        return "has characters in it that are not seen (" + in_quotes(code) + "); type it anew";
    if (code.front() == ' ' || code.back() == ' ')
        return "has blanks at its ends; leave them out";
    return {};
}

std::string against_code(const std::string& name, const std::string& code) {
    const std::string why = against_code(code);
    return why.empty() ? "" : "the " + name + " " + why;
}

std::string refusal(const Knowledge& knowledge, const Job& job, const Event& event) {
    if (is_closed(job))
        return "the job is closed; nothing can be added to it (knockwell jobs reopen, or jobs "
               "correct)";
    if (std::string why = against_order(job, event); !why.empty())
        return why;
    return refusal_of_correction(knowledge, job, event);
}

std::string refusal_of_correction(const Knowledge& knowledge, const Job& job, const Event& event) {
    if (std::string why = against_text(event); !why.empty())
        return why;
    if (std::string why = against_numbers(event); !why.empty())
        return why;
    if (event.kind == EventKind::note && counts_as_checked(event.value))
        return "a note of this form would close lines of the list before leaving; say them with "
               "--checked and --as-left, or put other words first";
    if (is_correction(event.kind))
        return against_correction(knowledge, job, event);
    Course course = course_of(knowledge, job);
    return apply(knowledge, event, course);
}

Event spelled_out(const Knowledge& knowledge, Event event) {
    if (event.kind == EventKind::said)
        spell_finding(knowledge, Via::told, event);
    if (event.kind == EventKind::found)
        spell_finding(knowledge, Via::looked, event);
    if (event.kind == EventKind::set)
        spell_setting(knowledge, event);
    if (is_about_leaving(event))
        return spelled_leaving(std::move(event));
    return event;
}

}  // namespace knockwell
