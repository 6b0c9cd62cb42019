#include "beliefs/asking.hpp"
#include "beliefs/build.hpp"
#include "beliefs/entropy.hpp"
#include "beliefs/questions.hpp"
#include "beliefs/run.hpp"
#include "beliefs/turning.hpp"

#include <algorithm>
#include <map>
#include <utility>

namespace knockwell {
namespace {

// Below this an outcome is rounding left over from a difference of chances near 1.
constexpr double least_chance = 1e-12;

/// What was asked about one look.
struct Asked {
    bool put = false;
    bool tells_nothing = false;  // of the listed causes; then nothing was asked
    std::size_t outcomes = 0, questions = 0;
    std::size_t first = 0;        // its first question
    std::size_t coefficient = 0;  // its first coefficient
    std::size_t values = 0;       // its first value
};

/// Looks that are asked of the same evidence: all of it, or all but the findings of signs that they
/// look at again.
class Ranking {
public:
    /// For the outcomes of looks, or only for the bits.
    enum class For { outcomes, bits };

    Ranking(const Model& model, const BySign& found, const std::vector<SignId>& again,
            std::span<const CauseId> causes, std::vector<const Look*> looks, For what)
        : model_(model), found_(found), without_(without(found.evidence(), again)),
          is_again_(!again.empty()), for_bits_(what == For::bits), looks_(std::move(looks)),
          causes_(causes), strengths_(point_values(*model.network)),
          built_(build(model, without_, strengths_, {.acts_knobs = true, .also = touched()})),
          parts_(parts_of(built_.sum, *model.plans, Runs::many)) {}

    /// False where nothing can be said.
    bool ask() {
        if (built_.too_wide() || parts_.width() > widest)
            return false;
        now_.emplace(built_.sum.shape, parts_);
        if (!now_->run(built_.sum))
            return false;
        std::vector<Var> listed;
        for (const CauseId c : causes_)
            listed.push_back(built_.last(c.index()));
        asking_.emplace(built_.sum, parts_, *now_, listed);
        if (for_bits_)
            find_telling();
        const std::size_t most = std::min(most_looks(), looks_.size());
        for (std::size_t k = 0; k < most; ++k)
            put(*looks_[k]);
        asking_->answer();
        for (const Var v : listed)
            listed_now_.push_back(now_->share(v, 1));
        joint_.resize(listed.size());
        mark_.assign(listed.size(), 0);
        return true;
    }

    /// Whether there is time for one more that is added up outcome by outcome.
    [[nodiscard]] bool is_quick() const { return 100 * parts_.cost() < patience; }

    /// Whether a look can be answered so.
    [[nodiscard]] bool answers(std::size_t look) {
        return look < asked_.size() && asked_[look].put &&
               (!is_again_ || asked_[look].tells_nothing ||
                chance_of_all(asked_[look]) >= least_found);
    }

    std::vector<Outcome> outcomes(std::size_t look, std::span<const double> before) {
        const Asked& it = asked_[look];
        const std::size_t signs = looks_[look]->at.size();
        const double all = is_again_ ? chance_of_all(it) : 1;
        std::vector<Outcome> outcomes;
        for (std::size_t o = 0; o < it.outcomes; ++o) {
            const double p = mix(it, o, all);
            if (p < least_chance)
                continue;
            const auto first = values_.begin() + static_cast<std::ptrdiff_t>(it.values + o * signs);
            Outcome& outcome =
                outcomes.emplace_back(Outcome{{first, first + static_cast<std::ptrdiff_t>(signs)},
                                              p,
                                              {before.begin(), before.end()}});
            for (std::size_t i = 0; i < causes_.size(); ++i)
                outcome.cause[causes_[i].index()] =
                    std::clamp(mark_[i] == round_ ? joint_[i] / p : listed_now_[i], 0.0, 1.0);
        }
        return outcomes;
    }

    /// Expected drop of entropy, summed over the causes; `before`: of every cause.
    double bits(std::size_t look, std::span<const double> before) {
        const Asked& it = asked_[look];
        if (it.tells_nothing)
            return 0;
        std::size_t turning = 0;  // a question that touches something
        std::size_t count = 0;
        for (std::size_t q = 0; q < it.questions; ++q)
            if (!asking_->touches_nothing(change_[it.first + q])) {
                turning = q;
                ++count;
            }
        const double all = is_again_ ? chance_of_all(it) : 1;
        return std::max(0.0, count == 1 ? bits_of_one(it, turning, all, before)
                                        : bits_of_many(it, all, before));
    }

private:
    /// Those for which there is time.
    [[nodiscard]] std::size_t most_looks() const {
        constexpr double questions_a_look = 3;
        const double looks = patience_of_eight * Pack::lanes / (questions_a_look * parts_.cost());
        return looks < 1e6 ? static_cast<std::size_t>(looks) : 1'000'000;
    }

    /// Causes that a look could speak of, and those asked for.
    [[nodiscard]] std::vector<std::uint32_t> touched() const {
        std::vector<std::uint8_t> is(model_.network->causes.size(), 0);
        for (const CauseId c : causes_)
            is[c.index()] = 1;
        for (const Look* look : looks_)
            for (const Findable& what : look->at)
                if (const auto* sign = std::get_if<SignId>(&what))
                    for_causes_of(model_.network->signs[sign->index()],
                                  [&](std::uint32_t c) { is[c] = 1; });
        std::vector<std::uint32_t> causes;
        for (std::uint32_t c = 0; c < is.size(); ++c)
            if (is[c] != 0)
                causes.push_back(c);
        return causes;
    }

    /// Where one question alone touches something: what it touches is in one place, and every
    /// outcome is a mixture of as it is now and as under the question.
    double bits_of_one(const Asked& it, std::size_t turning, double all,
                       std::span<const double> before) {
        const std::size_t change = change_[it.first + turning];
        asking_->touched(change, touched_now_);
        double entropy = 0;
        for (const std::uint32_t i : touched_now_.places)
            entropy += before[causes_[i].index()];
        double sum = 0;
        for (std::size_t o = 0; o < it.outcomes; ++o) {
            const double* by = coefficients_.data() + it.coefficient + o * it.questions;
            double stays = 0;
            for (std::size_t q = 0; q < it.questions; ++q)
                if (q != turning)
                    stays += by[q] * factor_[it.first + q] * asking_->times(change_[it.first + q]);
            stays /= all;
            const double turns =
                by[turning] * factor_[it.first + turning] * asking_->times(change) / all;
            const double p = stays + turns;
            if (p >= least_chance)
                sum += p * (entropy - mixed_entropy(stays / p, touched_now_.now, turns / p,
                                                    touched_now_.then));
        }
        return sum;
    }

    double bits_of_many(const Asked& it, double all, std::span<const double> before) {
        chances_.clear();
        weights_.clear();
        double sum = 0;
        for (std::size_t o = 0; o < it.outcomes; ++o) {
            const double p = mix(it, o, all);
            if (p < least_chance)
                continue;
            for (const std::uint32_t i : touched_) {
                sum += p * before[causes_[i].index()];
                chances_.push_back(joint_[i] / p);
                weights_.push_back(p);
            }
        }
        entropies_of(chances_);
        for (std::size_t i = 0; i < chances_.size(); ++i)
            sum -= weights_[i] * chances_[i];
        return sum;
    }

    /// Whether a look could move any of the listed causes. What hangs on settings is not looked
    /// into.
    [[nodiscard]] bool could_tell(const Look& look) const {
        return std::any_of(look.at.begin(), look.at.end(), [&](const Findable& what) {
            const auto* sign = std::get_if<SignId>(&what);
            if (!sign || model_.network->signs[sign->index()].form == SignForm::levels)
                return true;
            bool could = false;
            for_causes_of(model_.network->signs[sign->index()],
                          [&](std::uint32_t c) { could = could || telling_[c] != 0; });
            return could;
        });
    }

    /// Causes whose signs could move a listed one.
    void find_telling() {
        telling_.assign(model_.network->causes.size(), 0);
        for (std::size_t c = 0; c < telling_.size(); ++c)
            if (built_.holds(c) &&
                (asking_->can_touch(built_.last(c)) ||
                 (built_.acts[c] != no_var && asking_->can_touch(built_.acts[c]))))
                telling_[c] = 1;
    }

    void put(const Look& look) {
        Asked it;
        it.tells_nothing = for_bits_ && !could_tell(look);
        if (it.tells_nothing) {
            it.put = true;
            asked_.push_back(it);
            return;
        }
        it.put = put_questions(model_, found_, strengths_, look, questions_);
        if (it.put) {
            it.outcomes = questions_.outcomes;
            it.questions = questions_.ask.size();
            it.first = change_.size();
            it.coefficient = coefficients_.size();
            it.values = values_.size();
            coefficients_.insert(coefficients_.end(), questions_.coefficient.begin(),
                                 questions_.coefficient.end());
            values_.insert(values_.end(), questions_.values.begin(), questions_.values.end());
            for (const Questions::Ask& ask : questions_.ask) {
                factor_.push_back(ask.factor);
                change_.push_back(asking_->ask(turning_.knobs(questions_, ask)));
            }
        }
        asked_.push_back(it);
    }

    /// P(what was found of the signs looked at again | the rest); else 1 but for roundings.
    [[nodiscard]] double chance_of_all(const Asked& it) const {
        double all = 0;
        for (std::size_t o = 0; o < it.outcomes; ++o)
            for (std::size_t q = 0; q < it.questions; ++q)
                all += coefficients_[it.coefficient + o * it.questions + q] *
                       factor_[it.first + q] * asking_->times(change_[it.first + q]);
        return all;
    }

    /// P(outcome), where all outcomes have `all`; joint_ of whatever listed cause it touches
    /// (touched_, marked with round_).
    double mix(const Asked& it, std::size_t outcome, double all) {
        ++round_;
        touched_.clear();
        for (std::size_t q = 0; q < it.questions; ++q)
            asking_->for_touched(change_[it.first + q], [&](std::uint32_t i, double) {
                if (std::exchange(mark_[i], round_) != round_) {
                    touched_.push_back(i);
                    joint_[i] = 0;
                }
            });
        double p = 0;
        for (std::size_t q = 0; q < it.questions; ++q) {
            const double by = coefficients_[it.coefficient + outcome * it.questions + q];
            if (by == 0)
                continue;
            const std::size_t change = change_[it.first + q];
            const double chance = by * factor_[it.first + q] * asking_->times(change) / all;
            p += chance;
            // What a question leaves alone keeps its share.
            for (const std::uint32_t i : touched_)
                joint_[i] += chance * listed_now_[i];
            asking_->for_touched(change, [&](std::uint32_t i, double share) {
                joint_[i] += chance * (share - listed_now_[i]);
            });
        }
        return p;
    }

    const Model& model_;
    const BySign& found_;
    Evidence without_;
    bool is_again_;
    bool for_bits_;
    std::vector<const Look*> looks_;
    std::span<const CauseId> causes_;
    std::span<const double> strengths_;
    Built built_;
    SumParts parts_;
    Turning turning_{*model_.network, strengths_, built_};
    std::optional<Whole<double>> now_;
    std::optional<Asking> asking_;
    Questions questions_;                    // room for those of one look
    std::vector<Asked> asked_;               // [look]
    std::vector<std::size_t> change_;        // [question]
    std::vector<double> factor_;             // [question]
    std::vector<double> coefficients_;       // by look: [outcome][question]
    std::vector<std::size_t> values_;        // by look: [outcome][sign]
    std::vector<double> listed_now_;         // [place in causes_]
    std::vector<std::uint8_t> telling_;      // [cause]
    Asking::Touched touched_now_;            // room for those of one look
    std::vector<double> chances_, weights_;  // the same
    std::vector<double> joint_;              // [place in causes_]
    std::vector<std::uint64_t> mark_;        // [place in causes_]
    std::vector<std::uint32_t> touched_;
    std::uint64_t round_ = 0;
};

/// Calls act(look, its ranking, its place there) for every look that a ranking answers, and
/// otherwise act(look). Nothing where nothing can be said of the evidence.
template <class Ranked, class Alone>
void each_look(const Model& model, const Evidence& evidence, std::span<const Look> looks,
               std::span<const CauseId> causes, Ranking::For what, Ranked ranked, Alone alone) {
    // By the signs that are looked at again; those that look at new ones alone come first.
    const BySign found(evidence, model.network->signs.size());
    std::map<std::vector<SignId>, std::vector<std::size_t>> groups;
    std::vector<std::size_t>& at_new = groups[{}];
    for (std::size_t i = 0; i < looks.size(); ++i) {
        const std::vector<SignId> again = found_already(found, looks[i]);
        (again.empty() ? at_new : groups[again]).push_back(i);
    }
    for (const auto& [again, places] : groups) {
        std::vector<const Look*> here;
        for (const std::size_t i : places)
            here.push_back(&looks[i]);
        Ranking ranking(model, found, again, causes, std::move(here), what);
        const bool asked = ranking.ask();
        if (!asked && again.empty())
            return;
        for (std::size_t k = 0; k < places.size(); ++k)
            if (asked && ranking.answers(k))
                ranked(places[k], ranking, k);
            else if (ranking.is_quick())
                alone(places[k]);
    }
}

}  // namespace

std::vector<std::vector<Outcome>> predict_all(const Model& model, const Evidence& evidence,
                                              std::span<const Look> looks,
                                              std::span<const double> now,
                                              std::span<const CauseId> causes) {
    std::vector<std::vector<Outcome>> all(looks.size());
    each_look(
        model, evidence, looks, causes, Ranking::For::outcomes,
        [&](std::size_t look, Ranking& ranking, std::size_t k) {
            all[look] = ranking.outcomes(k, now);
        },
        [&](std::size_t look) {
            all[look] = predict_some(model, evidence, looks[look], now, causes);
        });
    return all;
}

std::vector<double> bits_of_all(const Model& model, const Evidence& evidence,
                                std::span<const Look> looks, std::span<const double> now,
                                std::span<const CauseId> causes) {
    std::vector<double> all(looks.size(), 0.0);
    std::vector<double> entropies(now.begin(), now.end());
    entropies_of(entropies);
    each_look(
        model, evidence, looks, causes, Ranking::For::bits,
        [&](std::size_t look, Ranking& ranking, std::size_t k) {
            all[look] = ranking.bits(k, entropies);
        },
        [&](std::size_t look) {
            all[look] = bits(predict_some(model, evidence, looks[look], now, causes), now, causes);
        });
    return all;
}

}  // namespace knockwell
