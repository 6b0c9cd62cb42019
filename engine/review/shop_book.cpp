#include "review/shop_book.hpp"

#include "base/same_road.hpp"

#include <algorithm>
#include <numeric>

namespace knockwell {

std::uint32_t Names::number_of(const std::string& name) {
    const auto [it, is_new] = numbers_.emplace(name, static_cast<std::uint32_t>(names_.size()));
    if (is_new)
        names_.push_back(name);
    return it->second;
}

std::uint32_t Roads::number_of(const std::string& area) {
    const std::uint32_t number = roads_.number_of(same_road(area));
    if (number == spelled_.size())
        spelled_.emplace_back();
    Spelled& road = spelled_[number];
    const std::size_t jobs = ++road.jobs[area];
    if (jobs > road.most || (jobs == road.most && area < road.usual)) {
        road.usual = area;
        road.most = jobs;
    }
    return number;
}

void ShopBook::add(const Summary& summary) {
    if (!summary.closed)
        return;
    constexpr std::size_t most = 0xFFFF;
    Visit visit;
    visit.opened = summary.opened;
    visit.area = areas.number_of(summary.area);
    visit.installation =
        installations.number_of(same_road(summary.area) + '\n' + summary.installation);
    visit.complaint = complaints.number_of(summary.complaint);
    visit.minutes = static_cast<float>(summary.minutes);
    visit.cured = summary.outcome == "cured";
    visit.call_back = summary.call_back_of.has_value();
    visit.first_cause = static_cast<std::uint32_t>(causes_.size());
    visit.first_setting = static_cast<std::uint32_t>(settings_.size());
    for (const ConfirmedCause& one : summary.causes) {
        if (visit.causes == most)
            break;
        causes_.push_back({causes.number_of(one.cause), one.how != "guessed"});
        ++visit.causes;
    }
    for (const auto& [setting, value] : summary.settings) {
        if (visit.settings == most)
            break;
        settings_.push_back(settings.number_of(setting + "=" + value));
        ++visit.settings;
    }
    visits_.push_back(visit);
}

std::vector<std::uint32_t> ShopBook::in_time() const {
    std::vector<std::uint32_t> order(visits_.size());
    std::iota(order.begin(), order.end(), 0U);
    std::stable_sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) {
        return visits_[a].opened < visits_[b].opened;
    });
    return order;
}

}  // namespace knockwell
