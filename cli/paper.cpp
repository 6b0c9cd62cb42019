#include "cli/paper.hpp"

#include "base/words.hpp"
#include "cli/words.hpp"
#include "job/identity.hpp"
#include "job/leaving.hpp"
#include "job/summary.hpp"
#include "job/time_text.hpp"

#include <algorithm>

namespace knockwell {
namespace {

constexpr std::size_t most_watched = 3;

std::string title_of_sign(const Knowledge& knowledge, const std::string& id) {
    const SignId sign = sign_named(knowledge, id);
    return sign.valid() ? knowledge[sign].head.title : id;
}

std::string title_of_repair(const Knowledge& knowledge, const std::string& id) {
    const RepairId repair = repair_named(knowledge, id);
    return repair.valid() ? knowledge[repair].step.head.title : id;
}

/// The last day on which a return is a call-back.
std::string day_after(std::int64_t at) { return format_day(at + call_back_days * day_seconds); }

/// Causes that were named, those that were only guessed among them.
std::vector<CauseId> named_causes(const Knowledge& knowledge, const Summary& summary) {
    std::vector<CauseId> causes;
    for (const ConfirmedCause& one : summary.causes)
        if (const CauseId cause = cause_named(knowledge, one.cause); cause.valid())
            causes.push_back(cause);
    return causes;
}

void put_readings(LeavingPaper& paper, const Knowledge& knowledge, const Summary& summary) {
    for (const auto& [id, reading] : summary.readings) {
        const SignId sign = sign_named(knowledge, id);
        if (!sign.valid() || !knowledge[sign].reading)
            continue;
        const std::string& title = knowledge[sign].head.title;
        if (reading.left)
            paper.as_left.push_back(title + ": " + *reading.left +
                                    (reading.found ? ", found " + *reading.found : ""));
        else if (!summary.repairs.empty())
            paper.not_kept.push_back(title);
        else if (reading.found)
            paper.as_left.push_back(title + ": " + *reading.found);
    }
    for (const LeftReading& one : left_readings())
        if (const auto it = paper.left.readings.find(std::string(one.word));
            it != paper.left.readings.end())
            paper.as_left.push_back(std::string(one.says) + ": " + number(it->second) + " " +
                                    std::string(one.unit));
}

void put_killers(LeavingPaper& paper, const Knowledge& knowledge,
                 const std::vector<CauseId>& causes) {
    for (const CauseId id : causes) {
        const Cause& cause = knowledge[id];
        for (const CauseStrength& by : cause.brought_on_by)
            paper.killers.push_back(knowledge[by.cause].head.title + " brings on " +
                                    cause.head.title + " " + to_text(by.strength.count) +
                                    " (kb show " + knowledge[by.cause].head.id + ")");
        for (const RaisedBy& raised : cause.raised_by)
            paper.killers.push_back(cause.head.title + " comes " + number(raised.times.value) +
                                    " times as often with " +
                                    conditions_words(knowledge, raised.when));
    }
}

/// What it was, and what it was only taken to be: a guess is told as one.
void put_what_it_was(std::vector<std::string>& lines, const Knowledge& knowledge,
                     const Summary& summary) {
    std::vector<std::string> known;
    std::vector<std::string> guessed;
    for (const ConfirmedCause& one : summary.causes)
        if (const CauseId cause = cause_named(knowledge, one.cause); cause.valid())
            (one.how == "guessed" ? guessed : known).push_back(knowledge[cause].head.title);
    if (!known.empty())
        lines.push_back("It was: " + list_of(known) + ".");
    if (!guessed.empty())
        lines.push_back("It was taken to be, and that was not proved: " + list_of(guessed) + ".");
    if (known.empty() && guessed.empty())
        lines.emplace_back("What it was is not settled.");
}

/// First of all, on the customer's sheet and on the invoice's note: both stay at the house.
void put_dangers(LeavingPaper& paper, const Knowledge& knowledge, const Job& job,
                 const std::vector<StopNow>& stops) {
    for (const StopNow& now : stops) {
        const Stop& stop = knowledge[now.stop];
        paper.customer.push_back("DANGER: " + stop.head.title +
                                 ". It is not ended. What to do: " + stop.do_now);
        paper.invoice.push_back("DANGER: " + stop.head.title + ". It is not ended.");
    }
    if (stops.empty())
        return;
    for (const std::string& words : closed_despite(job)) {
        paper.customer.push_back("What is off, and who knows of it: " + words);
        paper.invoice.push_back("What is off, and who knows of it: " + words);
    }
}

void put_customer(LeavingPaper& paper, const Knowledge& knowledge, const Job& job,
                  const Summary& summary, const std::vector<CauseId>& causes, std::int64_t at) {
    std::vector<std::string> said;
    for (const Event& event : standing(job))
        if (event.kind == EventKind::said && event.value != "no" && said.size() < most_watched) {
            const SignId sign = sign_named(knowledge, event.what);
            if (!sign.valid() || event.value != knowledge[sign].normal)
                said.push_back(title_of_sign(knowledge, event.what));
        }
    std::vector<std::string>& lines = paper.customer;
    if (!said.empty())
        lines.push_back("You called because of: " + list_of(said) + ".");
    put_what_it_was(lines, knowledge, summary);
    std::vector<std::string> done;
    for (const std::string& repair : summary.repairs)
        done.push_back(title_of_repair(knowledge, repair));
    lines.push_back(done.empty() ? "Nothing was repaired."
                                 : "What was done: " + list_of(done) + ".");
    if (summary.outcome == "not-cured")
        lines.emplace_back("It is not cured.");
    if (summary.outcome == "handed-over")
        lines.emplace_back("Somebody else goes on with it.");
    for (const std::string& line : left_words(paper.left))
        lines.push_back(line);
    struct Watched {
        SignId sign;
        double p = 0;
    };
    std::vector<Watched> watch;
    for (const CauseId id : causes)
        for (const Shows& shows : knowledge[id].shows) {
            double p = 0;
            for (const Strength& high : shows.high)
                p += high.count.mean();
            if (knowledge[shows.sign].symptom && !knowledge[shows.sign].circumstance)
                watch.push_back({shows.sign, p});
        }
    std::stable_sort(watch.begin(), watch.end(),
                     [](const Watched& a, const Watched& b) { return a.p > b.p; });
    std::vector<std::string> signs;
    for (const Watched& one : watch) {
        const std::string& title = knowledge[one.sign].head.title;
        if (signs.size() < most_watched &&
            std::find(signs.begin(), signs.end(), title) == signs.end())
            signs.push_back(title);
    }
    if (!signs.empty())
        lines.push_back("Watch for: " + list_of(signs, "or") + ".");
    lines.emplace_back(
        "Leave covers, air valve, relief valve and breakers alone. Where the well "
        "or its pipe was opened nobody drinks the water, in any house on it, until you "
        "hear that the laboratory has cleared it.");
    paper.call_back =
        "If the trouble is back by " + day_after(at) + ", call: it is looked at as a call-back.";
}

/// What the minutes cost, where the shop says so, and the parts.
void put_invoice(LeavingPaper& paper, const Knowledge& knowledge, const Job& job,
                 const Summary& summary, std::int64_t at, const Rates& rates) {
    paper.invoice.push_back("Job " + short_id(job.id) + ", " + format_day(at) + ", " +
                            summary.area + " " + summary.installation);
    const auto work = money_of(rates, summary.minutes);
    if (summary.minutes > 0)
        paper.invoice.push_back("Minutes written down: " + number(summary.minutes) +
                                (work ? ", at " + money_words(rates, *rates.hour) +
                                            " an hour: " + money_words(rates, *work)
                                      : ""));
    double sum = 0;
    for (const std::string& id : summary.repairs) {
        paper.invoice.push_back(title_of_repair(knowledge, id));
        const RepairId repair = repair_named(knowledge, id);
        if (!repair.valid())
            continue;
        for (const PartUse& use : knowledge[repair].parts) {
            std::string line = "  " + number(use.pieces) + " x " + knowledge[use.part].head.title;
            if (const auto price = price_of(knowledge, rates, use.part)) {
                line += ", " + money_words(rates, use.pieces * *price);
                sum += use.pieces * *price;
            }
            paper.invoice.push_back(line);
        }
    }
    if (sum > 0)
        paper.invoice.push_back(
            "Parts together " + money_words(rates, sum) +
            (rates.price.empty() ? ", by the prices of the knowledge" : ", by the shop's prices") +
            "; what was really used counts");
    if (work && (sum > 0 || *work > 0))
        paper.invoice.push_back("Work and parts together " + money_words(rates, *work + sum));
    paper.invoice.push_back("Call-back until " + day_after(at) +
                            ": knockwell open --call-back-of " + short_id(job.id));
}

}  // namespace

LeavingPaper paper_of(const Knowledge& knowledge, const Job& job, std::int64_t at,
                      const std::vector<StopNow>& stops, const Rates& rates) {
    const Summary summary = summary_of(job);
    const std::vector<CauseId> causes = named_causes(knowledge, summary);
    LeavingPaper paper;
    paper.left = leaving_of(job);
    put_readings(paper, knowledge, summary);
    put_killers(paper, knowledge, causes);
    put_dangers(paper, knowledge, job, stops);
    put_customer(paper, knowledge, job, summary, causes, at);
    put_invoice(paper, knowledge, job, summary, at, rates);
    return paper;
}

}  // namespace knockwell
