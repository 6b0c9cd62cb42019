#include "beliefs/whole.hpp"

namespace knockwell {

// ---------------------------------------------------------------- one part

template <class P>
PartSum<P>::PartSum(const SumPart& part) {
    if (!part.cases) {
        frontier_.emplace(*part.plan);
        return;
    }
    numbers_.resize(part.numbers.size());
    cases_.reserve(part.cases->cases.size());
    for (const SumParts& one : part.cases->cases)
        cases_.emplace_back(part.cases->shape, one);
    weights_.resize(cases_.size());
}

template <class P>
PartSum<P>::~PartSum() = default;
template <class P>
PartSum<P>::PartSum(PartSum&&) noexcept = default;

template <class P>
void PartSum<P>::changed(Slot number) {
    if (frontier_)
        frontier_->changed(number);
    else
        changed_.push_back(number);
}

template <class P>
void PartSum<P>::all_changed() {
    if (frontier_)
        frontier_->all_changed();
    else
        all_changed_ = true;
}

template <class P>
void PartSum<P>::want(std::span<const Var> variables) {
    if (frontier_)
        frontier_->want(variables);
    for (Whole<P>& one : cases_)
        one.want(variables);
}

template <class P>
bool PartSum<P>::run(bool back) {
    if (frontier_)
        return back ? frontier_->run() : frontier_->run_forward();
    for (Whole<P>& one : cases_) {
        if (all_changed_)
            one.take(numbers_.data());
        else
            for (const Slot number : changed_)
                one.renew(number);
    }
    all_changed_ = false;
    changed_.clear();
    total_ = {};
    total_.mantissa = 0;
    for (std::size_t i = 0; i < cases_.size(); ++i) {
        // One that cannot be has no total, nor shares.
        weights_[i] = cases_[i].run(P(1), back) ? 1 : 0;
        if (is_all(weights_[i], 1))
            total_.add(cases_[i].total());
    }
    weigh_cases();
    return !is_all(total_.mantissa, 0);
}

template <class P>
void PartSum<P>::weigh_cases() {
    for (std::size_t i = 0; i < cases_.size(); ++i) {
        if (is_all(weights_[i], 0))
            continue;
        for (std::size_t l = 0; l < lanes_of<P>; ++l)
            set_lane(weights_[i], l,
                     lane(total_.mantissa, l) > 0 ? ratio(cases_[i].total(), l, total_, l) : 0);
    }
}

template <class P>
P PartSum<P>::share(Var var, std::size_t value) const {
    if (frontier_)
        return frontier_->share(var, value);
    P sum = 0;
    for (std::size_t i = 0; i < cases_.size(); ++i)
        if (!is_all(weights_[i], 0))
            sum += weights_[i] * cases_[i].share(var, value);
    return sum;
}

// ---------------------------------------------------------------- all parts

template <class P>
Whole<P>::Whole(const Shape& shape, const SumParts& parts) : shape_(shape), parts_(parts) {
    sums_.reserve(parts.parts.size());
    for (const SumPart& part : parts.parts)
        sums_.emplace_back(part);
}

template <class P>
void Whole<P>::take(const P* numbers) {
    numbers_ = numbers;
    for (std::size_t i = 0; i < sums_.size(); ++i) {
        P* to = sums_[i].numbers();
        const std::vector<Slot>& from = parts_.parts[i].numbers;
        for (Slot n = 0; n < from.size(); ++n)
            to[n] = numbers[from[n]];
        sums_[i].all_changed();
    }
}

template <class P>
void Whole<P>::renew(Slot number) {
    const std::uint32_t part = parts_.part_at[number];
    if (part == PartPlace::alone)
        return;
    const Slot at = parts_.number_at[number];
    sums_[part].numbers()[at] = numbers_[number];
    sums_[part].changed(at);
}

template <class P>
void Whole<P>::want(std::span<const Var> variables) {
    std::vector<std::vector<Var>> wanted(sums_.size());
    for (const Var v : variables)
        if (const PartPlace& where = parts_.where[v]; !where.is_alone())
            wanted[where.part].push_back(where.var);
    for (std::size_t i = 0; i < sums_.size(); ++i)
        sums_[i].want(wanted[i]);
}

template <class P>
bool Whole<P>::run(const P& factor, bool back) {
    total_ = {};
    total_.multiply(factor);
    for (const Slot number : parts_.factors)
        total_.multiply(numbers_[number]);
    for (Var v = 0; v < shape_.variables.size(); ++v)
        if (parts_.where[v].is_alone())
            total_.multiply(mass_alone(v));
    if (is_all(total_.mantissa, 0))
        return false;
    for (PartSum<P>& sum : sums_) {
        if (!sum.run(back))
            return false;
        for (std::size_t l = 0; l < lanes_of<P>; ++l)
            total_.exponent[l] += sum.total().exponent[l];
        total_.multiply(sum.total().mantissa);
    }
    return !is_all(total_.mantissa, 0);
}

template <class P>
P Whole<P>::mass_alone(Var var) const {
    const SumVariable& it = shape_.variables[var];
    if (parts_.known.knows(var)) {
        const std::uint32_t a = parts_.known.value(var);
        return numbers_[it.start + a] * numbers_[it.after + a];
    }
    P mass = 0;
    for (std::uint32_t a = 0; a < it.values; ++a)
        mass += numbers_[it.start + a] * numbers_[it.after + a];
    return mass;
}

template <class P>
P Whole<P>::share(Var var, std::size_t value) const {
    const PartPlace& where = parts_.where[var];
    if (!where.is_alone())
        return sums_[where.part].share(where.var, value);
    if (parts_.known.knows(var))
        return parts_.known.value(var) == value ? 1 : 0;
    const SumVariable& it = shape_.variables[var];
    return numbers_[it.start + value] * numbers_[it.after + value] /
           positive_or_one(mass_alone(var));
}

template class PartSum<double>;
template class PartSum<Pack>;
template class Whole<double>;
template class Whole<Pack>;

Shares shares_of(const Sum& sum, const SumParts& parts) {
    Shares shares;
    Whole<double> whole(sum.shape, parts);
    shares.possible = whole.run(sum);
    if (!shares.possible)
        return shares;
    shares.log_sum = whole.total().log(0);
    shares.first.reserve(sum.shape.variables.size());
    shares.share.reserve(2 * sum.shape.variables.size());
    for (Var v = 0; v < sum.shape.variables.size(); ++v) {
        shares.first.push_back(static_cast<std::uint32_t>(shares.share.size()));
        for (std::uint32_t a = 0; a < sum.shape.variables[v].values; ++a)
            shares.share.push_back(whole.share(v, a));
    }
    return shares;
}

double log_sum_of(const Sum& sum, const SumParts& parts) {
    Whole<double> whole(sum.shape, parts);
    return whole.run_forward(sum) ? whole.total().log(0) : -std::numeric_limits<double>::infinity();
}

}  // namespace knockwell
