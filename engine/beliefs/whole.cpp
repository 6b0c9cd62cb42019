#include "beliefs/whole.hpp"

namespace knockwell {

template <class P>
Whole<P>::Whole(const Shape& shape, const SumParts& parts) : shape_(shape), parts_(parts) {
    frontiers_.reserve(parts.parts.size());
    for (const SumPart& part : parts.parts)
        frontiers_.emplace_back(*part.plan);
}

template <class P>
bool Whole<P>::run(const SumOf<P>& sum, bool back) {
    numbers_ = sum.numbers.data();
    total_ = {};
    total_.multiply(sum.factor);
    for (std::size_t i = 0; i < frontiers_.size(); ++i) {
        Frontier<P>& frontier = frontiers_[i];
        P* to = frontier.numbers();
        const std::vector<Slot>& from = parts_.parts[i].numbers;
        for (Slot n = 0; n < from.size(); ++n)
            to[n] = numbers_[from[n]];
        frontier.all_changed();
        if (!(back ? frontier.run() : frontier.run_forward()))
            return false;
        for (std::size_t l = 0; l < lanes_of<P>; ++l)
            total_.exponent[l] += frontier.total().exponent[l];
        total_.multiply(frontier.total().mantissa);
    }
    for (Var v = 0; v < shape_.variables.size(); ++v) {
        if (!parts_.where[v].is_alone())
            continue;
        total_.multiply(mass_alone(shape_.variables[v]));
    }
    return !is_all(total_.mantissa, 0);
}

template <class P>
P Whole<P>::mass_alone(const SumVariable& it) const {
    P mass = 0;
    for (std::uint32_t a = 0; a < it.values; ++a)
        mass += numbers_[it.start + a] * numbers_[it.after + a];
    return mass;
}

template <class P>
P Whole<P>::share(Var var, std::size_t value) const {
    const PartPlace& where = parts_.where[var];
    if (!where.is_alone())
        return frontiers_[where.part].share(where.var, value);
    const SumVariable& it = shape_.variables[var];
    return numbers_[it.start + value] * numbers_[it.after + value] /
           positive_or_one(mass_alone(it));
}

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
