#include "cli/words.hpp"

#include "advice/mass.hpp"
#include "advice/rules.hpp"
#include "advice/tripped.hpp"
#include "base/words.hpp"
#include "beliefs/finding.hpp"

#include <cmath>
#include <set>
#include <string>
#include <vector>

namespace knockwell {
namespace {

constexpr std::string_view unit = " %";

}  // namespace

std::string_view it_can_be_wrong() {
    return "This can be wrong. Local code, the plates on the equipment and licensed practice "
           "overrule it.";
}

std::string range_words(const Range& range) {
    std::string low = percent(range.low);
    std::string high = percent(range.high);
    if (high.starts_with("under"))
        return high;
    if (low.starts_with("over"))
        return low;
    if (low == high)
        return "about " + high;
    if (low.starts_with("under"))
        return "at most " + high;
    if (high.starts_with("over"))
        return "at least " + low;
    return "between " + low.substr(0, low.size() - unit.size()) + " and " + high;
}

std::string place_words(const Ranges& ranges, CauseId cause) {
    if (ranges.draws == 0)
        return "how far the counts leave it open would take too long to work out";
    return range_words(ranges.cause[cause.index()]) + "; first in " +
           std::to_string(ranges.first_in[cause.index()]) + " of " + std::to_string(ranges.draws) +
           " draws of the counts";
}

std::string minutes_words(double minutes) {
    if (minutes < 1)
        return "under a minute";
    const long whole = std::lround(minutes);
    if (whole == 1)
        return "1 minute";
    if (whole < 90)
        return std::to_string(whole) + " minutes";
    const long rest = whole % 60;
    return std::to_string(whole / 60) + " h" +
           (rest == 0 ? "" : " " + std::to_string(rest) + " min");
}

std::string weight_words(double decibans) {
    const std::string side = decibans < 0 ? "against" : "for";
    if (std::isnan(decibans))
        return "cannot be told";
    // Graded as it is printed, in whole decibans.
    const double size = std::round(std::abs(decibans));
    if (std::isinf(size))
        return "decides alone " + side + " it";
    if (says_nothing(decibans))
        return "says nothing";
    if (size < 5)
        return "speaks a little " + side + " it";
    if (size < 10)
        return "speaks " + side + " it";
    if (size < 15)
        return "speaks strongly " + side + " it";
    if (size < 20)
        return "speaks very strongly " + side + " it";
    return "speaks all but decisively " + side + " it";
}

std::string how_by_itself(const Step& step) {
    if (step.set_dead.empty())
        return step.how;
    return "Locked out and proved dead: " + step.set_dead + ". Then power on, hands off. " +
           step.how;
}

bool says_nothing(double decibans) { return std::abs(decibans) < 0.5; }

bool clash(double misfit) {
    constexpr double rounding = 1e-9;  // of things that have nothing to do with each other
    return misfit > rounding;
}

std::string misfit_words(double misfit) {
    // Above 0 the findings are less likely together than each by itself; ln 10 makes it ten times.
    constexpr double ten_times = 2.302585092994046;
    if (std::isnan(misfit))
        return "Whether the findings fit together cannot be worked out.";
    if (!clash(misfit))
        return {};
    if (misfit < ten_times)
        return "The findings fit together only loosely.";
    return "The findings do not fit together well: together they are " +
           number(std::round(std::exp(std::min(misfit, 13.8)))) +
           (misfit > 13.8 ? " times and more" : " times") + " less likely than each by itself.";
}

std::vector<SignId> gone_since_repair(const Knowledge& knowledge, const Evidence& evidence) {
    std::set<SignId> reported;
    std::vector<SignId> gone;
    const auto told_of = [&](const Finding& finding) {
        const auto* id = std::get_if<SignId>(&finding.what);
        return id != nullptr && !knowledge[*id].circumstance;
    };
    for (const Finding& finding : evidence.findings) {
        if (!told_of(finding))
            continue;
        const SignId id = std::get<SignId>(finding.what);
        const Sign& sign = knowledge[id];
        if (sign.stated_by_power_off || sign.stated_by_pressure_zero)
            continue;
        const bool present = found_present(knowledge, evidence, finding);
        const bool now = finding.stage + 1 == evidence.stages();
        if (present && now)
            return {};
        if (present && sign.symptom)
            reported.insert(id);
    }
    for (const Finding& finding : evidence.findings)
        if (finding.stage + 1 == evidence.stages() && told_of(finding) &&
            reported.erase(std::get<SignId>(finding.what)) > 0)
            gone.push_back(std::get<SignId>(finding.what));
    return gone;
}

CauseId tripped_by(const Knowledge& knowledge, const std::vector<double>& own, const Posterior& now,
                   CauseId cause) {
    constexpr double worth_saying = 0.2;
    if (1 - own[cause.index()] < worth_saying)
        return {};
    return likeliest_to_trip(knowledge[cause], now.cause);
}

std::string_view signal_word(const Caution& caution) {
    return caution.covers.empty() ? "CAUTION" : "WARNING";
}

std::string situation_words(const Knowledge& knowledge, const Situation& situation) {
    std::string words = situation.who == Skill::owner    ? "the owner"
                        : situation.who == Skill::helper ? "a helper"
                                                         : "a qualified person";
    std::vector<std::string> licences;
    for (const Licence licence : situation.licences)
        licences.emplace_back(to_text(licence));
    if (!licences.empty())
        words += " (" + list_of(licences) + ")";
    words += situation.on_site ? ", on site" : ", on the phone";
    std::vector<std::string> here;
    for (const AccessId access : situation.reached)
        here.push_back(knowledge[access].head.title);
    if (!here.empty())
        words += ", at: " + list_of(here);
    if (situation.power_off)
        words += ", power off";
    if (situation.pressure_zero)
        words += ", pressure zero";
    if (situation.tank_drained)
        words += ", tank drained";
    std::vector<std::string> lacking(situation.lacking_tools.begin(),
                                     situation.lacking_tools.end());
    for (const PartId part : situation.lacking_parts)
        lacking.push_back(knowledge[part].head.title);
    if (!lacking.empty())
        words += ", without: " + list_of(lacking);
    return words;
}

std::string stands_words(const Knowledge& knowledge, const StopNow& now) {
    std::vector<std::string> findings;
    for (const Finding& it : now.shown_by)
        findings.push_back(to_text(knowledge, it));
    std::string found;
    for (const std::string& it : findings)
        found += (found.empty() ? "" : "; ") + it;
    const std::string enough = percent(now.enough);
    if (!now.p)
        return "How likely the findings make this cannot be worked out, so it is taken as there; "
               "from " +
               enough + " on it stops. Found: " + found + ".";
    if (!now.found)
        return "The findings make this " + percent(*now.p) + " likely, and from " + enough +
               " on it stops. Found: " + found + ".";
    if (findings.empty())
        return "It was found before, and no repair since has ended it; a look that sees nothing "
               "does not.";
    return "Found: " + found +
           (knowledge[now.stop].when.size() > 1 ? ". Together they are enough; of a reading, "
                                                : ". One such finding is enough; of a reading, ") +
           enough + " in the danger.";
}

constexpr std::size_t most_repairs_named = 4;

std::string lifted_words(const Knowledge& knowledge, const Stop& stop) {
    std::vector<std::string> ways;
    for (const SignId sign : stop.cleared_by) {
        const Skill skill = skill_to_vouch(knowledge, sign);
        ways.push_back(knowledge[sign].head.id +
                       (skill == Skill::owner ? "" : " (told by a " + in_words(skill) + ")"));
    }
    std::string words = ways.empty() ? "" : "finding: " + list_of(ways, "or");
    ways.clear();
    for (const RepairId repair : stop.mended_by)
        ways.push_back(knowledge[repair].step.head.id);
    if (ways.empty())
        return words;
    words += words.empty() ? "" : ", or by ";
    // Whoever stands before a danger reads no list of two dozen.
    return words + (ways.size() > most_repairs_named ? "the repair that mends what causes it"
                                                     : "the repair: " + list_of(ways, "or"));
}

std::string in_vain_words(const Knowledge& knowledge, const StopNow& now) {
    std::vector<std::string> told;
    for (const SignId sign : now.told_in_vain)
        told.push_back(knowledge[sign].head.id);
    if (told.empty())
        return {};
    return "Told and not enough: " + list_of(told) +
           ". It counts from such a person, there now, after the danger was last found.";
}

std::string_view deed(StepKind kind, bool own_licence) {
    switch (kind) {
    case StepKind::test:
        return "Check";
    case StepKind::question:
        return "Ask";
    case StepKind::setting:
        return "Find out";
    case StepKind::repair:
        return "Repair";
    case StepKind::refer:
        return own_licence ? "Own work" : "Hand over";
    }
    return "";
}

std::string levels_words(const Sign& sign, const std::vector<Strength>& low,
                         const std::vector<Strength>& high) {
    std::vector<std::string> words;
    for (std::size_t i = 0; i < high.size(); ++i) {
        if (high[i].count.k == 0)
            continue;
        const bool flag = sign.form == SignForm::flag;
        words.push_back((flag ? "" : sign.high[i] + " ") + to_text(high[i].count));
    }
    for (std::size_t i = 0; i < low.size(); ++i)
        if (low[i].count.k != 0)
            words.push_back(sign.low[i] + " " + to_text(low[i].count));
    return list_of(words, "and");
}

std::string conditions_words(const Knowledge& knowledge, const Conditions& all) {
    std::vector<std::string> parts;
    for (const Condition& condition : all) {
        const Setting& setting = knowledge[condition.setting];
        std::vector<std::string> states;
        for (const std::size_t state : condition.states)
            states.push_back(setting.states[state]);
        parts.push_back(setting.head.id + " = " + list_of(states, "or"));
    }
    return list_of(parts);
}

std::string cause_title(const Knowledge& knowledge, const std::string& id) {
    const CauseId cause = cause_named(knowledge, id);
    return cause.valid() ? knowledge[cause].head.title : id;
}

std::string money_words(const Rates& rates, double money) {
    constexpr double whole_from = 100;
    constexpr double cents = 100;
    const double rounded =
        money < whole_from ? std::round(money * cents) / cents : std::round(money);
    return number(rounded) + (rates.currency.empty() ? "" : " " + rates.currency);
}

std::string step_money(const Knowledge& knowledge, const Rates& rates, const Suggestion& step) {
    const auto work = money_of(rates, step.minutes);
    if (!work)
        return {};
    std::string words = money_words(rates, *work);
    const RepairId repair =
        step.kind == StepKind::repair ? repair_named(knowledge, step.id) : RepairId();
    if (!repair.valid() || knowledge[repair].parts.empty())
        return words;
    const PartsPrice parts = price_of(knowledge, rates, knowledge[repair].parts);
    if (parts.sum > 0)
        words += " and " + money_words(rates, parts.sum) + " for parts";
    return words + (parts.whole ? "" : ", some parts without a price");
}

std::vector<std::string> left_words(const LeavingNow& left) {
    std::vector<std::string> readings;
    for (const LeftReading& one : left_readings())
        if (const auto it = left.readings.find(std::string(one.word)); it != left.readings.end())
            readings.push_back(it->first + " " + number(it->second) + " " + std::string(one.unit));
    std::vector<std::string> checked;
    std::vector<std::string> not_here;
    std::vector<std::string> lines;
    for (const LeavingCheck& check : leaving_checks())
        if (const auto it = left.said.find(std::string(check.word)); it != left.said.end())
            (it->second == "checked" ? checked : not_here).push_back(it->first);
    if (!readings.empty())
        lines.push_back("As left: " + list_of(readings) + ".");
    if (!checked.empty())
        lines.push_back("Checked before leaving: " + list_of(checked) + ".");
    if (!not_here.empty())
        lines.push_back("Does not apply here: " + list_of(not_here) + ".");
    for (const auto& [word, why] : left.without)
        lines.push_back("Left without " + word + ", because: " + why);
    return lines;
}

}  // namespace knockwell
