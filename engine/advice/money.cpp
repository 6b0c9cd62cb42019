#include "advice/money.hpp"

namespace knockwell {
namespace {

constexpr double minutes_of_an_hour = 60;

}  // namespace

std::optional<double> price_of(const Knowledge& knowledge, const Rates& rates, PartId part) {
    const Part& it = knowledge[part];
    const auto own = rates.price.find(it.head.id);
    return own != rates.price.end() ? own->second : it.price;
}

PartsPrice price_of(const Knowledge& knowledge, const Rates& rates,
                    const std::vector<PartUse>& parts) {
    PartsPrice price;
    for (const PartUse& use : parts) {
        const auto one = price_of(knowledge, rates, use.part);
        price.sum += use.pieces * one.value_or(0);
        price.whole = price.whole && one.has_value();
    }
    return price;
}

std::optional<double> money_of(const Rates& rates, double minutes) {
    if (!rates.hour)
        return std::nullopt;
    return minutes * *rates.hour / minutes_of_an_hour;
}

double minutes_of_parts(const Knowledge& knowledge, const Rates* rates,
                        const std::vector<PartUse>& parts) {
    if (rates == nullptr || !rates->hour)
        return 0;
    return price_of(knowledge, *rates, parts).sum * minutes_of_an_hour / *rates->hour;
}

}  // namespace knockwell
