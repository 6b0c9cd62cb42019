#include "beliefs/turning.hpp"

#include <algorithm>

namespace knockwell {

std::span<const Knob> Turning::knobs(const Questions& of, const Questions::Ask& ask) {
    knobs_.clear();
    std::span<const Questions::OfCause> causes = ask.causes.of(of.causes);
    const auto before = [](const Questions::OfCause& a, const Questions::OfCause& b) {
        return a.cause < b.cause;
    };
    if (!std::is_sorted(causes.begin(), causes.end(), before)) {
        causes_.assign(causes.begin(), causes.end());
        std::stable_sort(causes_.begin(), causes_.end(), before);
        causes = causes_;
    }
    // What acts only now and then is mixed once for all signs that it would show.
    for (std::size_t i = 0; i < causes.size();) {
        const std::uint32_t cause = causes[i].cause;
        double always = 1;
        double acting = 1;
        for (; i < causes.size() && causes[i].cause == cause; ++i)
            (causes[i].through_acts ? acting : always) *= causes[i].times;
        turn(cause, always, acting);
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

/// `always` where the cause is present, `acting` where it acts too.
void Turning::turn(std::uint32_t cause, double always, double acting) {
    const CauseNode& node = network_.causes[cause];
    const Var var = built_.last(cause);
    double times = always;
    if (!node.comes_and_goes)
        times *= acting;
    else if (built_.acts[cause] == no_var)
        times *= 1 - strengths_[node.acts] + strengths_[node.acts] * acting;
    else
        knobs_.push_back({var, built_.acts_knob[cause], acting});
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
