#include "beliefs/turning.hpp"

#include <algorithm>

namespace knockwell {

std::span<const Knob> Turning::knobs(const Questions& of, const Questions::Ask& ask) {
    knobs_.clear();
    causes_.clear();
    for (const Questions::OfCause& it : ask.causes.of(of.causes)) {
        const double always = it.through_acts ? 1 : it.times;
        causes_.push_back({it.cause, always, it.through_acts ? it.times : 1});
    }
    // What acts only now and then is mixed once for all signs that it would show.
    const auto before = [](const OfCause& a, const OfCause& b) { return a.cause < b.cause; };
    if (!std::is_sorted(causes_.begin(), causes_.end(), before))
        std::stable_sort(causes_.begin(), causes_.end(), before);
    for (std::size_t i = 0; i < causes_.size();) {
        OfCause all = causes_[i];
        for (++i; i < causes_.size() && causes_[i].cause == all.cause; ++i) {
            all.always *= causes_[i].always;
            all.acting *= causes_[i].acting;
        }
        turn(all);
    }
    for (const Questions::OfSetting& it : ask.settings.of(of.settings)) {
        const Var var = built_.setting[it.setting];
        const SumVariable& variable = built_.sum.shape.variables[var];
        for (std::uint32_t a = 0; a < variable.values; ++a)
            if (a != it.state)
                knobs_.push_back({var, variable.after + a, 0});
    }
    return knobs_;
}

void Turning::turn(const OfCause& it) {
    const CauseNode& node = network_.causes[it.cause];
    const Var var = built_.last(it.cause);
    double times = it.always;
    if (!node.comes_and_goes)
        times *= it.acting;
    else if (built_.acts[it.cause] == no_var)
        times *= 1 - strengths_[node.acts] + strengths_[node.acts] * it.acting;
    else
        knobs_.push_back({var, built_.acts_knob[it.cause], it.acting});
    if (times != 1)
        knobs_.push_back({var, built_.sum.shape.variables[var].after + 1, times});
}

Evidence without(const Evidence& evidence, std::span<const SignId> signs) {
    Evidence rest = evidence;
    std::erase_if(rest.findings, [&](const Finding& finding) {
        return std::any_of(signs.begin(), signs.end(),
                           [&](SignId sign) { return finding.what == Findable(sign); });
    });
    return rest;
}

}  // namespace knockwell
