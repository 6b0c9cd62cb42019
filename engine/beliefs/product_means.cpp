#include "beliefs/product_means.hpp"

#include <cmath>
#include <utility>

namespace knockwell {

// For a look or two: the search for a plan that many runs repay would cost more than they do.
ProductMeans::ProductMeans(const Model& model, const Evidence& evidence,
                           std::span<const SignId> again, std::vector<std::uint32_t> causes)
    : network_(*model.network), strengths_(point_values(*model.network)),
      without_(without(evidence, again)),
      built_(build(model, without_, strengths_, {.acts_knobs = true, .also = std::move(causes)})),
      parts_(parts_of(built_.sum, *model.plans, Runs::few)),
      turning_(network_, strengths_, built_) {
    if (built_.too_wide() || parts_.width() > widest)
        return;
    now_.emplace(built_.sum.shape, parts_);
    if (now_->run(built_.sum))
        asking_.emplace(built_.sum, parts_, *now_, std::span<const Var>{});
}

double ProductMeans::cost() const { return parts_.cost(); }

std::size_t ProductMeans::ask(std::span<const ProductPower> product) {
    room_.clear();
    for (const ProductPower& it : product) {
        const Questions::Ask& ask = it.of->ask[it.question];
        for (Questions::OfCause one : ask.causes.of(it.of->causes)) {
            one.times = std::pow(one.times, it.exponent);
            room_.causes.push_back(one);
        }
        for (const Questions::OfSetting& one : ask.settings.of(it.of->settings))
            room_.settings.push_back(one);
    }
    Questions::Ask all;
    all.causes.count = static_cast<std::uint32_t>(room_.causes.size());
    all.settings.count = static_cast<std::uint32_t>(room_.settings.size());
    return asking_->ask(turning_.knobs(room_, all));
}

Range ProductMeans::reach(const Questions& of, std::size_t question) const {
    Range it{1, 1};
    for (const Questions::OfCause& one : of.ask[question].causes.of(of.causes)) {
        const Var var = built_.last(one.cause);
        const bool may_rest = one.through_acts && network_.causes[one.cause].comes_and_goes;
        if (now_->share(var, 1) > 0)
            it.low *= one.times;
        if (now_->share(var, 0) == 0 && !may_rest)
            it.high *= one.times;
    }
    return it;
}

}  // namespace knockwell
