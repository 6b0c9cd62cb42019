#include "review/numbers.hpp"

#include "knowledge/version.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>

namespace knockwell {
namespace {

double real(std::uint64_t count) { return static_cast<double>(count); }

/// The step as the knowledge has it; nothing where it lacks it.
const Step* step_of(const Knowledge& knowledge, bool repair, const std::string& name) {
    if (repair) {
        const RepairId id = repair_named(knowledge, name);
        return id.valid() ? &knowledge[id].step : nullptr;
    }
    const TestId id = test_named(knowledge, name);
    return id.valid() ? &knowledge[id].step : nullptr;
}

/// Sorted by p, with the false discovery rate over all of them.
template <class Line>
void by_chance(std::vector<Line>& lines) {
    std::vector<double> p;
    for (const Line& line : lines)
        p.push_back(line.p);
    const std::vector<double> adjusted = false_discovery(p);
    for (std::size_t i = 0; i < lines.size(); ++i)
        lines[i].adjusted = adjusted[i];
    std::stable_sort(lines.begin(), lines.end(),
                     [](const Line& a, const Line& b) { return a.p < b.p; });
}

/// What the jobs that were told again come to.
class Reckoning {
public:
    Reckoning(const Model& model, NumbersReview& into)
        : model_(&model), into_(&into), strengths_(model) {}

    void take(const Job& job) {
        ++into_->drawn;
        auto told = replay(*model_, job);
        if (const auto* why = std::get_if<NotReplayed>(&told)) {
            ++into_->not_replayed[*why];
            return;
        }
        const Replayed& again = std::get<Replayed>(told);
        ++into_->replayed;
        forecast(again);
        guess(again, summary_of(job).complaint);
        for (const LookGain& look : again.looks)
            gain(look);
        strengths_.add(again);
    }

    void end() {
        into_->exact = scores_of(forecasts_);
        into_->classed = scores_of(in_means(forecasts_, calibration_edges()));
        for (const CalibrationRow& row : into_->classed.rows)
            into_->happened.push_back(
                share_limits(static_cast<std::uint64_t>(std::llround(row.happened * row.cases)),
                             static_cast<std::uint64_t>(std::llround(row.cases))));
        if (into_->replayed > 0) {
            into_->bits /= real(into_->replayed);
            into_->bits_on_phone /= real(into_->replayed);
        }
        into_->guesses = {all_};
        for (const auto& [complaint, line] : guesses_)
            into_->guesses.push_back(line);
        std::stable_sort(into_->guesses.begin() + 1, into_->guesses.end(),
                         [](const GuessLine& a, const GuessLine& b) { return a.jobs > b.jobs; });
        into_->strengths = strengths_.cells();
    }

    [[nodiscard]] const std::map<std::string, TestLine>& gains() const { return gains_; }

private:
    /// Of a cause that was only guessed nobody knows whether it was there.
    void forecast(const Replayed& job) {
        for (std::size_t i = 0; i < job.p.size(); ++i) {
            const CauseId cause(i);
            const auto among = [&](const std::vector<CauseId>& causes) {
                return std::find(causes.begin(), causes.end(), cause) != causes.end();
            };
            if (!among(job.guessed))
                forecasts_.push_back({job.p[i], among(job.confirmed), 1});
        }
        constexpr double least = 1e-6;
        const auto surprise = [&](const std::vector<double>& p) {
            double bits = 0;
            for (const CauseId cause : job.confirmed)
                bits -= std::log2(std::max(p[cause.index()], least));
            return bits / real(job.confirmed.size());
        };
        into_->bits += surprise(job.p);
        into_->bits_on_phone += surprise(job.on_phone);
    }

    void guess(const Replayed& job, const std::string& complaint) {
        constexpr std::size_t few = 3;
        const std::size_t phone = best_place(job.on_phone, job.confirmed);
        const std::size_t end = best_place(job.p, job.confirmed);
        GuessLine& mine = guesses_[complaint];
        mine.complaint = complaint;
        for (GuessLine* line : {&all_, &mine}) {
            ++line->jobs;
            line->first_on_phone += phone == 1 ? 1U : 0U;
            line->three_on_phone += phone <= few ? 1U : 0U;
            line->first += end == 1 ? 1U : 0U;
            line->three += end <= few ? 1U : 0U;
        }
    }

    void gain(const LookGain& look) {
        TestLine& line = gains_[(*model_->knowledge)[look.test].step.head.id];
        line.changed += look.changed_first ? 1U : 0U;
        line.most_bits = line.replayed == 0 ? look.bits : std::max(line.most_bits, look.bits);
        ++line.replayed;
        line.bits += (look.bits - line.bits) / real(line.replayed);
    }

    const Model* model_;
    NumbersReview* into_;
    std::vector<Forecast> forecasts_;
    GuessLine all_;
    std::map<std::string, GuessLine> guesses_;
    std::map<std::string, TestLine> gains_;
    StrengthBook strengths_;
};

}  // namespace

const std::vector<double>& calibration_edges() {
    static const std::vector<double> edges = {0.01, 0.03, 0.1, 0.2, 0.35,
                                              0.5,  0.65, 0.8, 0.9, 0.97};
    return edges;
}

bool TestLine::never_paid() const {
    return replayed >= fewest_makings && changed == 0 && most_bits < worth_a_look;
}

void NumbersBook::add(const Summary& summary, const std::function<Job()>& whole) {
    // Whose job it is called back to is known when it is opened.
    if (summary.call_back_of)
        called_back_to_.push_back(fnv1a(*summary.call_back_of));
    if (!summary.closed)
        return;
    ++jobs_;
    for (const std::string& test : summary.tests)
        ++tests_[test].jobs;
    for (const std::string& test : summary.in_vain)
        ++tests_[test].in_vain;
    const std::set<std::string> repairs(summary.repairs.begin(), summary.repairs.end());
    for (const std::string& repair : repairs) {
        const auto number = static_cast<std::uint32_t>(repair_numbers_.size());
        repaired_.emplace_back(fnv1a(summary.id),
                               repair_numbers_.emplace(repair, number).first->second);
    }
    spend(summary);
    note_lacking(summary);
    draw(summary.id, whole);
}

void NumbersBook::spend(const Summary& summary) {
    std::map<std::pair<bool, std::string>, std::vector<double>> here;
    for (const Summary::Making& one : summary.makings)
        here[{one.repair, one.step}].push_back(one.minutes);
    // Minutes of an entry that is no step, a finding of no test: they were spent all the same.
    double of_steps = 0;
    for (const Summary::Making& one : summary.makings)
        of_steps += one.minutes;
    unwritten_.minutes += std::max(0.0, summary.minutes - of_steps);
    // Against what is written a step that was made several times in a job counts once, by the mean
    // of its minutes: the same hands at the same house. In the sum of all each making counts.
    for (const auto& [step, makings] : here) {
        const double all = std::accumulate(makings.begin(), makings.end(), 0.0);
        const double minutes = all / real(makings.size());
        const Step* known = step_of(*knowledge_, step.first, step.second);
        if (known == nullptr || !(known->minutes > 0)) {
            unwritten_.makings += makings.size();
            unwritten_.minutes += all;
            continue;
        }
        const double log = std::log(minutes / known->minutes);
        Spent& spent = spent_[step];
        spent.all.makings += makings.size();
        spent.all.minutes += all;
        ++spent.times;
        spent.minutes += minutes;
        spent.logs += log;
        spent.squares += log * log;
    }
}

void NumbersBook::note_lacking(const Summary& summary) {
    std::vector<std::string> causes;
    for (const ConfirmedCause& one : summary.causes)
        if (!cause_named(*knowledge_, one.cause).valid())
            causes.push_back(one.cause);
    if (summary.causes.empty())
        causes.emplace_back();
    for (const std::string& cause : causes) {
        Lack& lack = lacking_[cause];
        ++lack.jobs;
        if (!summary.complaint.empty())
            ++lack.with[summary.complaint];
        for (const auto& [sign, reading] : summary.readings)
            if (const auto& value = reading.found ? reading.found : reading.left)
                ++lack.with[sign + ": " + *value];
    }
}

void NumbersBook::draw(const std::string& id, const std::function<Job()>& whole) {
    const std::uint64_t hash = fnv1a(id);
    if (drawn_.size() == most_ && (most_ == 0 || hash >= drawn_.rbegin()->first))
        return;
    drawn_.insert_or_assign(hash, whole());
    if (drawn_.size() > most_)
        drawn_.erase(std::prev(drawn_.end()));
}

std::vector<MinutesLine> NumbersBook::minutes_lines() const {
    std::vector<MinutesLine> lines;
    for (const auto& [step, spent] : spent_) {
        const double n = real(spent.times);
        MinutesLine line;
        line.repair = step.first;
        line.step = step.second;
        line.times = spent.times;
        line.written = step_of(*knowledge_, step.first, step.second)->minutes;
        line.spent = spent.minutes / n;
        const double mean = spent.logs / n;
        line.ratio = std::exp(mean);
        if (spent.times >= 2) {
            // Minutes are written in round figures: nobody works to the same second each time.
            constexpr double least = 0.1;
            const double variance = (spent.squares - n * mean * mean) / (n - 1);
            const double deviation = std::max(std::sqrt(std::max(variance, 0.0)), least);
            const Limits limits = mean_limits(mean, deviation, spent.times);
            line.limits = {std::exp(limits.low), std::exp(limits.high)};
            line.p = mean_by_chance(mean, deviation, spent.times);
        }
        lines.push_back(line);
    }
    by_chance(lines);
    return lines;
}

std::vector<LackingLine> NumbersBook::lacking_lines() const {
    std::vector<LackingLine> lines;
    for (const auto& [cause, lack] : lacking_) {
        LackingLine line{cause, lack.jobs, {lack.with.begin(), lack.with.end()}};
        std::stable_sort(line.with.begin(), line.with.end(),
                         [](const auto& a, const auto& b) { return a.second > b.second; });
        lines.push_back(std::move(line));
    }
    std::stable_sort(lines.begin(), lines.end(), [](const LackingLine& a, const LackingLine& b) {
        return a.cause.empty() != b.cause.empty() ? b.cause.empty() : a.jobs > b.jobs;
    });
    return lines;
}

std::vector<RepairLine> NumbersBook::repair_lines(std::uint64_t& call_backs) const {
    std::vector<std::uint64_t> back = called_back_to_;
    std::sort(back.begin(), back.end());
    std::vector<RepairLine> lines(repair_numbers_.size());
    for (const auto& [repair, number] : repair_numbers_)
        lines[number].repair = repair;
    std::uint64_t returned = 0;
    std::set<std::uint64_t> jobs;
    for (const auto& [job, number] : repaired_) {
        ++lines[number].jobs;
        if (!std::binary_search(back.begin(), back.end(), job))
            continue;
        ++lines[number].call_backs;
        ++returned;
        jobs.insert(job);
    }
    call_backs = jobs.size();
    for (RepairLine& line : lines) {
        line.limits = share_limits(line.call_backs, line.jobs);
        // A job of two repairs stands in the lines of both, and so twice in the share of all.
        line.p =
            share_at_least(line.call_backs, line.jobs, real(returned) / real(repaired_.size()));
    }
    by_chance(lines);
    return lines;
}

NumbersReview NumbersBook::review(const Model& model) const {
    NumbersReview review;
    review.jobs = jobs_;
    review.learned = learned_counts(*knowledge_);
    Reckoning reckoning(model, review);
    for (const auto& [hash, job] : drawn_)
        reckoning.take(job);
    reckoning.end();
    review.minutes = minutes_lines();
    for (const MinutesLine& line : review.minutes) {
        const MinutesSum& all = spent_.at({line.repair, line.step}).all;
        review.minutes_written += line.written * real(all.makings);
        review.all_spent.makings += all.makings;
        review.all_spent.minutes += all.minutes;
    }
    review.unwritten = unwritten_;
    for (const auto& [test, made] : tests_) {
        const auto gain = reckoning.gains().find(test);
        TestLine line = gain == reckoning.gains().end() ? TestLine{} : gain->second;
        line.test = test;
        line.made = made.jobs;
        line.in_vain = made.in_vain;
        if (const Step* step = step_of(*knowledge_, false, test))
            line.minutes = step->minutes;
        review.tests.push_back(line);
    }
    std::stable_sort(review.tests.begin(), review.tests.end(),
                     [](const TestLine& a, const TestLine& b) { return a.bits < b.bits; });
    review.lacking = lacking_lines();
    review.repairs = repair_lines(review.call_backs);
    return review;
}

}  // namespace knockwell
