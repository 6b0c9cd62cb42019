#include "advice/advice.hpp"
#include "advice/glance.hpp"
#include "advice/looks.hpp"
#include "advice/rules.hpp"
#include "advice/tripped.hpp"
#include "advice/worth.hpp"
#include "base/words.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <tuple>
#include <utility>

namespace knockwell {
namespace {

// A look that moves no cause by this much tells nothing (bits).
constexpr double nothing_told = 1e-6;

// A repair that ends this little of the trouble by any one cause is not spoken of (judgement).
constexpr double worth_a_word = 0.01;

// A repair that mends so much of a trouble that is handed over is named beside (judgement).
constexpr double worth_naming_beside = 0.1;

// No number here is good to so few minutes (judgement).
constexpr double as_good_as_equal = 3;

// A look that saves less than this part of its minutes by itself is only the way to the one that
// follows it, and one that saves less than this part of those that it takes saves as good as none
// (judgement).
constexpr double of_its_own = 0.2;

// Equal is what its last digits do not tell apart.
constexpr double rounding = 1e-9;

// A pump that is less likely than this to run is not looked at running (judgement).
constexpr double likely_to_run = 0.5;

std::string in_words(const Knowledge& knowledge, const Condition& condition) {
    const Setting& setting = knowledge[condition.setting];
    std::vector<std::string> states;
    for (const std::size_t state : condition.states)
        states.push_back(setting.states[state]);
    return setting.head.title + ": " + list_of(states, "or");
}

std::vector<std::string> unsettled(const Knowledge& knowledge, const Conditions& only_if,
                                   const Evidence& evidence) {
    std::vector<std::string> words;
    for (const Condition& condition : only_if)
        if (!evidence.settings.contains(condition.setting))
            words.push_back(in_words(knowledge, condition));
    return words;
}

std::vector<std::string> needs_of(const Knowledge& knowledge, const Candidate& step,
                                  const Evidence& evidence) {
    std::vector<std::string> needs;
    const Needs& it = step.needs;
    if (it.skill != Skill::owner)
        needs.push_back(in_words(it.skill));
    std::vector<std::string> licences;
    for (const Licence licence : it.licence)
        licences.emplace_back(to_text(licence));
    if (!licences.empty())
        needs.push_back("licence: " + list_of(licences, "or"));
    if (energized(step))
        needs.emplace_back("power on");
    if (wants_dead(knowledge, step))
        needs.emplace_back("power off");
    if (wants_zero(knowledge, step))
        needs.emplace_back("pressure zero");
    if (it.pressure == Pressure::up)
        needs.emplace_back("pressure up");
    if (it.tank_drained)
        needs.emplace_back("tank drained");
    if (it.pump == "called")
        needs.emplace_back("water drawn until the pump is called for");
    else if (!it.pump.empty())
        needs.push_back("pump " + it.pump);
    needs.insert(needs.end(), step.tools.begin(), step.tools.end());
    for (const std::string& words : unsettled(knowledge, step.only_if, evidence))
        needs.push_back("only where " + words);
    return needs;
}

std::vector<std::string> parts_of(const Knowledge& knowledge, const Candidate& step) {
    std::vector<std::string> parts;
    for (const PartUse& use : step.parts) {
        const std::string& title = knowledge[use.part].head.title;
        parts.push_back(use.pieces == 1 ? title : number(use.pieces) + " x " + title);
    }
    return parts;
}

Suggestion suggestion_of(const Knowledge& knowledge, const Candidate& step, const Outlay& cost,
                         const Evidence& evidence) {
    Suggestion it;
    it.kind = step.kind;
    it.id = step.id;
    it.title = step.title;
    it.how = step.how;
    it.cautions = step.cautions;
    it.first = cost.first;
    it.minutes = cost.minutes;
    it.needs = needs_of(knowledge, step, evidence);
    it.parts = parts_of(knowledge, step);
    it.own_licence = step.own_licence;
    return it;
}

// Whether the cause shows the sign by one of the values.
bool shows_one_of(const Cause& cause, SignId sign, const std::vector<std::size_t>& values) {
    return std::any_of(cause.shows.begin(), cause.shows.end(), [&](const Shows& shows) {
        return shows.sign == sign &&
               std::any_of(values.begin(), values.end(), [&](std::size_t value) {
                   return value - 1 < shows.high.size() && shows.high[value - 1].count.mean() > 0;
               });
    });
}

// The sign that most causes show as a pump that stays off; invalid where there is none.
SignId sign_of_staying_off(const Knowledge& knowledge) {
    SignId best;
    std::ptrdiff_t most = 0;
    for (std::size_t i = 0; i < knowledge.signs.size(); ++i) {
        const std::vector<std::size_t>& values = knowledge.signs[i].pump_stays_off;
        if (values.empty())
            continue;
        const auto causes = std::count_if(
            knowledge.causes.begin(), knowledge.causes.end(),
            [&](const Cause& cause) { return shows_one_of(cause, SignId(i), values); });
        if (causes > most) {
            most = causes;
            best = SignId(i);
        }
    }
    return best;
}

// One run of advise: everything that every step is held against.
class Adviser {
public:
    Adviser(const Model& model, const Evidence& evidence, const Posterior& now,
            const Situation& situation)
        : model_(&model), evidence_(&evidence), now_(&now), situation_(&situation) {
        advice_.stops = stops_now(model, evidence, situation);
        advice_.stopped =
            std::any_of(advice_.stops.begin(), advice_.stops.end(),
                        [&](const StopNow& stop) { return knowledge()[stop.stop].blocks_all; });
    }

    Advice make(const AdviceOptions& options) {
        if (advice_.stopped) {
            advice_.own = by_themselves(*model_, *evidence_, *now_);
            return advice_;
        }
        trouble_ = trouble_of(*model_, *evidence_, *now_, *situation_, options.rates);
        advice_.own = trouble_.own;
        closely_ = options.two_steps;
        const std::vector<LookLeft> looks =
            chosen(allowed(looks_left(knowledge(), *evidence_, to_show_again())));
        std::vector<Look> at;
        for (const LookLeft& left : looks)
            at.push_back(left.look);
        const std::vector<std::vector<Outcome>> outcomes =
            predict_all(*model_, *evidence_, at, now_->cause, trouble_.explainers);
        if (trouble_.found)
            look_down_the_road(looks, outcomes);
        for (std::size_t i = 0; i < looks.size(); ++i)
            if (!looks_that_wait_.contains(key_of(looks[i].step)))
                offer(looks[i], outcomes[i], i);
        if (trouble_.found) {
            offer_what_looks_wait_for(looks);
            offer_menders();
        }
        put_in_order();
        if (advice_.next.size() > options.most)
            advice_.next.resize(options.most);
        tell_outcomes(options.told);
        return advice_;
    }

private:
    const Knowledge& knowledge() const { return *model_->knowledge; }

    [[nodiscard]] Standing standing() const {
        return {&knowledge(), situation_,  evidence_,    advice_.stops,
                now_->cause,  advice_.own, now_->setting};
    }

    // Whether the step may be offered; where not, it is held back with the reason.
    bool may(const Candidate& step) {
        // What cannot exist here is no step, so nobody wonders why it is missing.
        if (cannot_apply(step.only_if, *evidence_))
            return false;
        const auto held_back = [&](std::string why) {
            advice_.held_back.push_back({step.kind, step.id, step.title, std::move(why)});
            return false;
        };
        if (const Verdict why = forbids(standing(), step))
            return held_back(*why);
        if (const Verdict why = unlikely(step))
            return held_back(*why);
        return true;
    }

    // Why the step is more likely than not in vain here.
    Verdict unlikely(const Candidate& step) {
        if (!likely_here(standing(), step))
            return "only where " + list_of(unsettled(knowledge(), step.only_if, *evidence_));
        if (step.kind == StepKind::test && step.needs.pump == "running" &&
            chance_to_run() < likely_to_run - rounding)
            return "only where the pump is known to run; most likely it stays off";
        return {};
    }

    // The look that a step which may not be made waits for, where it is held back by nothing else.
    std::optional<Candidate> look_before(const Candidate& step) {
        return unlikely(step) ? std::nullopt : only_waits_for(standing(), step);
    }

    // Of a pump that is called for, by the sign that most causes show as staying off.
    double chance_to_run() {
        if (!chance_to_run_) {
            const SignId sign = sign_of_staying_off(knowledge());
            const auto off = sign.valid() ? chance_of(*model_, *evidence_, sign,
                                                      knowledge()[sign].pump_stays_off)
                                          : std::optional(0.0);
            chance_to_run_ = 1 - off.value_or(0);
        }
        return *chance_to_run_;
    }

    // What lifts a danger that stands, and was shown before the danger was: it counts no more, so
    // it is shown again.
    std::set<SignId> to_show_again() const {
        std::set<SignId> again;
        for (const StopNow& now : advice_.stops)
            for (const SignId sign : knowledge()[now.stop].cleared_by)
                for (const Finding& finding : evidence_->findings)
                    if (finding.what == Findable(sign) && finding.value == std::size_t{1} &&
                        finding.stage + 1 == evidence_->stages())
                        again.insert(sign);
        return again;
    }

    // Those that may be made, and those that only wait for another: what these are worth is worked
    // out too, for the other stands in their place.
    std::vector<LookLeft> allowed(std::vector<LookLeft> looks) {
        std::erase_if(looks, [&](const LookLeft& left) {
            if (may(left.step))
                return false;
            auto before = trouble_.found ? look_before(left.step) : std::nullopt;
            if (!before)
                return true;
            looks_that_wait_.emplace(key_of(left.step), *std::move(before));
            return false;
        });
        return looks;
    }

    void offer_what_looks_wait_for(const std::vector<LookLeft>& looks) {
        for (std::size_t i = 0; i < looks.size(); ++i) {
            const auto before = looks_that_wait_.find(key_of(looks[i].step));
            if (before == looks_that_wait_.end() || road_.looks[i] >= road_.at_once)
                continue;
            offer_before(before->second, road_.looks[i], looks[i].step);
            if (saves_by_itself(i, outlay(knowledge(), *situation_, looks[i].step).minutes))
                tells_alone_.insert({before->second.kind, before->second.id});
        }
    }

    // Weighing exactly takes an inference for each outcome, so only what promises most is weighed,
    // and whatever can lift a stop.
    std::vector<LookLeft> chosen(const std::vector<LookLeft>& looks) const {
        std::vector<double> minutes;
        minutes.reserve(looks.size());
        for (const LookLeft& left : looks)
            minutes.push_back(outlay(knowledge(), *situation_, left.step).minutes);
        std::set<std::size_t> places =
            promising(*model_, *evidence_, looks, minutes, *now_, trouble_.explainers);
        for (std::size_t i = 0; i < looks.size(); ++i)
            if (lifts_at(looks[i]))
                places.insert(i);
        std::vector<LookLeft> best;
        for (const std::size_t i : places)
            best.push_back(looks[i]);
        return best;
    }

    void look_down_the_road(const std::vector<LookLeft>& looks,
                            const std::vector<std::vector<Outcome>>& outcomes) {
        std::vector<WeighedLook> weighed;
        for (std::size_t i = 0; i < looks.size(); ++i) {
            weighed.push_back({&looks[i].step, &outcomes[i],
                               outlay(knowledge(), *situation_, looks[i].step).then});
        }
        road_ = road_from(knowledge(), trouble_, *now_, *situation_, weighed, closely_);
    }

    // `takes`: the minutes of the look itself.
    bool saves_by_itself(std::size_t which, double takes) const {
        const double alone = road_.at_once - road_.alone[which];
        return alone > 0 &&
               alone >= of_its_own * std::max(road_.at_once - road_.looks[which], takes);
    }

    void offer(const LookLeft& left, const std::vector<Outcome>& outcomes, std::size_t which) {
        const Outlay cost = outlay(knowledge(), *situation_, left.step);
        Suggestion look = suggestion_of(knowledge(), left.step, cost, *evidence_);
        weigh(look, trouble_, *now_, outcomes);
        offered_.emplace(std::pair(look.kind, look.id), left.look);
        if (trouble_.found && !outcomes.empty()) {
            look.minutes_saved = road_.at_once - road_.looks[which];
            if (saves_by_itself(which, cost.minutes))
                tells_alone_.insert({look.kind, look.id});
        }
        const std::optional<Lift> lifts = lifts_at(left);
        if (lifts)
            lifting_[{look.kind, look.id}] = *lifts;
        if (lifts || look.bits > nothing_told)
            advice_.next.push_back(std::move(look));
    }

    // Ranking works out only what explains something by now; an outcome may bring another cause
    // first, so those that are told are worked out in full.
    void tell_outcomes(std::size_t most) {
        std::vector<Look> looks;
        std::vector<Suggestion*> of;
        for (std::size_t i = 0; i < std::min(most, advice_.next.size()); ++i) {
            Suggestion& it = advice_.next[i];
            if (const auto look = offered_.find({it.kind, it.id}); look != offered_.end()) {
                looks.push_back(look->second);
                of.push_back(&it);
            }
        }
        if (looks.empty())
            return;
        // No outcome of more than one in a thousand makes one of these a thousandth part as likely.
        constexpr double too_unlikely = 1e-6;
        std::vector<CauseId> able;
        for (std::size_t i = 0; i < knowledge().causes.size(); ++i)
            if (now_->cause[i] > too_unlikely)
                able.emplace_back(i);
        const std::vector<std::vector<Outcome>> outcomes =
            predict_all(*model_, *evidence_, looks, now_->cause, able);
        for (std::size_t i = 0; i < looks.size(); ++i)
            knockwell::tell_outcomes(*of[i], *model_, *evidence_, trouble_.own, *now_, looks[i],
                                     outcomes[i]);
    }

    // Of the menders that may be made here only those that pay: the ones in the order that is best
    // at once. With two in a hundred the last resort is cheaper. Beside what is handed over in that
    // order stands what he may mend of it himself.
    void offer_menders() {
        std::vector<std::size_t> allowed;
        std::vector<Mend> to_order;
        for (std::size_t i = 0; i < trouble_.menders.size(); ++i) {
            const Candidate& step = trouble_.menders[i].step;
            if (!is_wanted(trouble_.menders[i]))
                continue;
            if (!may(step)) {
                auto look = look_before(step);
                if (!look)
                    continue;
                waits_for_.emplace(i, *std::move(look));
            }
            allowed.push_back(i);
            to_order.push_back(trouble_.mends[i]);
        }
        std::set<std::size_t> offered;
        for (const std::size_t i :
             mend_in_order(trouble_.shares, to_order, trouble_.last_resort).order) {
            offered.insert(allowed[i]);
            if (const auto look = waits_for_.find(allowed[i]); look != waits_for_.end())
                offer_before(look->second, road_.mends[allowed[i]],
                             trouble_.menders[allowed[i]].step);
            else
                offer(trouble_.menders[allowed[i]], road_.mends[allowed[i]]);
        }
        for (const std::size_t i : allowed) {
            if (offered.contains(i) || waits_for_.contains(i))
                continue;
            if (const std::optional<double> beside = road_of_who_takes_it(i, offered)) {
                offer(trouble_.menders[i], std::min(road_.mends[i], *beside));
                beside_.insert(trouble_.menders[i].step.id);
            }
        }
        mark_what_would_come_first();
    }

    // Of a repair that mends what a refer among `offered` takes, often enough to be named beside
    // it: the road of that refer.
    std::optional<double> road_of_who_takes_it(std::size_t mender,
                                               const std::set<std::size_t>& offered) const {
        for (const std::size_t i : offered) {
            const Candidate& step = trouble_.menders[i].step;
            const std::vector<Fix>& fixes = trouble_.menders[mender].fixes;
            const auto is_taken = [&](const Fix& fix) {
                return trouble_.shares[fix.cause.index()] * fix.chance > worth_naming_beside &&
                       std::find(step.takes.begin(), step.takes.end(), fix.cause) !=
                           step.takes.end();
            };
            if (step.kind == StepKind::refer && std::any_of(fixes.begin(), fixes.end(), is_taken))
                return road_.mends[i];
        }
        return std::nullopt;
    }

    bool is_wanted(const Mender& mender) const {
        return std::any_of(mender.fixes.begin(), mender.fixes.end(), [&](const Fix& fix) {
            return trouble_.shares[fix.cause.index()] * fix.chance > worth_a_word;
        });
    }

    void offer(const Mender& mender, double road) {
        const Outlay cost = outlay(knowledge(), *situation_, mender.step);
        Suggestion repair = suggestion_of(knowledge(), mender.step, cost, *evidence_);
        repair.helps = ends_trouble(trouble_.shares, {cost.minutes, mender.fixes, 0});
        repairs_road_[{repair.kind, repair.id}] = road;
        advice_.next.push_back(std::move(repair));
    }

    // A look that a step waits for stands in its place, whether or not it tells much: until it is
    // made the step is not.
    void offer_before(const Candidate& look, double road, const Candidate& waits) {
        const double saved = road_.at_once - road;
        const auto at =
            std::find_if(advice_.next.begin(), advice_.next.end(), [&](const Suggestion& it) {
                return it.kind == look.kind && it.id == look.id;
            });
        if (at != advice_.next.end()) {
            if (saved > at->minutes_saved || at->awaited_by.empty())
                at->awaited_by = waits.title;
            at->minutes_saved = std::max(at->minutes_saved, saved);
            return;
        }
        Suggestion it =
            suggestion_of(knowledge(), look, outlay(knowledge(), *situation_, look), *evidence_);
        it.minutes_saved = saved;
        it.awaited_by = waits.title;
        offered_.emplace(std::pair(it.kind, it.id), look_of(knowledge(), look));
        advice_.next.push_back(std::move(it));
    }

    // The repair that would come first and is held back is what somebody else, or another truck, is
    // wanted for. While a look saves minutes, or a repair waits for it, it would not come first.
    void mark_what_would_come_first() {
        const bool looking_pays =
            std::any_of(advice_.next.begin(), advice_.next.end(), [](const Suggestion& it) {
                return it.minutes_saved > 0 || !it.awaited_by.empty();
            });
        if (looking_pays || trouble_.at_once.order.empty())
            return;
        const std::size_t first = trouble_.at_once.order.front();
        const Candidate& step = trouble_.menders[first].step;
        for (HeldBack& held : advice_.held_back)
            if (held.kind == step.kind && held.id == step.id)
                held.helps = ends_trouble(trouble_.shares, trouble_.mends[first]);
    }

    // Where a look stands among those that lift: at which place of a stop's `cleared_by`, and of
    // stops that name one at the same place that first which wants more signs, the more particular.
    using Lift = std::pair<std::size_t, int>;

    static constexpr Lift lifts_none{std::numeric_limits<std::size_t>::max(), 0};

    // The first of all that the look can lift; nothing where it lifts no stop that stands.
    std::optional<Lift> lifts_at(const LookLeft& left) const {
        std::optional<Lift> first;
        for (const StopNow& now : advice_.stops) {
            const Stop& stop = knowledge()[now.stop];
            const auto shows =
                std::find_if(stop.cleared_by.begin(), stop.cleared_by.end(), [&](SignId sign) {
                    return std::find(left.look.at.begin(), left.look.at.end(), Findable(sign)) !=
                           left.look.at.end();
                });
            if (shows == stop.cleared_by.end())
                continue;
            const Lift lift{static_cast<std::size_t>(shows - stop.cleared_by.begin()),
                            -static_cast<int>(stop.when.size())};
            first = first ? std::min(*first, lift) : lift;
        }
        return first;
    }

    static bool is_mend(const Suggestion& it) {
        return it.kind == StepKind::repair || it.kind == StepKind::refer;
    }

    // Minutes until the trouble is over, beginning with this step; while nothing is found there is
    // no trouble to be over.
    double road(const Suggestion& it) const {
        if (!trouble_.found)
            return 0;
        return is_mend(it) ? repairs_road_.at({it.kind, it.id}) : road_.at_once - it.minutes_saved;
    }

    static double rate(const Suggestion& it) {
        return is_mend(it) ? it.helps / std::max(it.minutes, 1.0) : it.bits_per_minute;
    }

    void put_in_order() {
        const auto order = [&](const Suggestion& it) {
            const auto lifts = lifting_.find({it.kind, it.id});
            const Lift place = lifts == lifting_.end() ? lifts_none : lifts->second;
            const bool beside = it.kind == StepKind::repair && beside_.contains(it.id);
            return std::tuple(place, std::round(road(it) / rounding), beside, -rate(it),
                              std::string_view(it.id));
        };
        std::stable_sort(
            advice_.next.begin(), advice_.next.end(),
            [&](const Suggestion& a, const Suggestion& b) { return order(a) < order(b); });
        if (trouble_.found)
            settle_what_is_as_good();
    }

    // Of looks that are as good as equal in minutes one goes first that saves some by itself,
    // and not all by the look that would follow it; of those the one that tells most for its
    // minutes. One that saves hardly any, and none by itself, does not come before a repair.
    void settle_what_is_as_good() {
        const auto worth = [&](const Suggestion& it) {
            return std::tuple(tells_alone_.contains({it.kind, it.id}),
                              std::round(it.bits_per_minute / rounding));
        };
        const auto first =
            std::find_if(advice_.next.begin(), advice_.next.end(), [&](const Suggestion& it) {
                return !lifting_.contains({it.kind, it.id});
            });
        if (first == advice_.next.end() || is_mend(*first) || first->minutes_saved <= 0)
            return;
        auto best = first;
        for (auto it = first; it != advice_.next.end(); ++it)
            if (!is_mend(*it) && road(*it) <= road(*first) + as_good_as_equal &&
                it->minutes_saved > 0 && worth(*it) > worth(*best))
                best = it;
        const bool saves_nothing = !tells_alone_.contains({best->kind, best->id}) &&
                                   best->minutes_saved < as_good_as_equal;
        const auto mend = std::find_if(first, advice_.next.end(), is_mend);
        if (saves_nothing && mend != advice_.next.end() &&
            road(*mend) <= road(*first) + as_good_as_equal)
            best = mend;
        std::rotate(first, best, best + 1);
    }

    const Model* model_;
    const Evidence* evidence_;
    const Posterior* now_;
    const Situation* situation_;
    std::size_t closely_ = 0;
    Trouble trouble_;
    Road road_;
    // Looks that save some of it by themselves (of_its_own).
    std::set<std::pair<StepKind, std::string>> tells_alone_;
    std::map<std::pair<StepKind, std::string>, double> repairs_road_;
    std::map<std::string, Candidate> looks_that_wait_;  // [key_of] the look it waits for
    std::map<std::size_t, Candidate> waits_for_;  // [mender] the look that alone holds it back
    std::set<std::string> beside_;  // repairs that are named beside what is handed over
    std::map<std::pair<StepKind, std::string>, Lift> lifting_;
    std::map<std::pair<StepKind, std::string>, Look> offered_;
    std::optional<double> chance_to_run_;
    Advice advice_;
};

}  // namespace

Advice advise(const Model& model, const Evidence& evidence, const Posterior& now,
              const Situation& situation, const AdviceOptions& options) {
    return Adviser(model, evidence, now, situation).make(options);
}

}  // namespace knockwell
