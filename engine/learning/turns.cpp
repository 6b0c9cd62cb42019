#include "learning/turns.hpp"

#include <algorithm>
#include <tuple>
#include <utility>

namespace knockwell {

Turns::Turns(std::size_t all, std::size_t every) : shape_(all, 0), noted_(all, 0) {
    for (std::size_t i = 0; i < all; i += every)
        order_.push_back(i);
}

void Turns::settle() {
    shape_ = noted_;
    std::stable_sort(order_.begin(), order_.end(),
                     [&](std::size_t a, std::size_t b) { return shape_[a] < shape_[b]; });
}

Batches::Batches(const LessonBook& book, const Installations& installations,
                 const std::vector<double>& quiet_jobs) {
    std::vector<std::pair<std::size_t, std::uint32_t>> order;  // group, installation
    for (std::uint32_t i = 0; i < quiet_jobs.size(); ++i)
        if (quiet_jobs[i] > 0)
            order.emplace_back(installations.group_of(book.quiets()[i].settings), i);
    // Neighbours in this order mostly take the same plan, where each is asked by itself.
    const auto rank = [&](const auto& it) {
        return std::tie(it.first, book.quiets()[it.second].settings);
    };
    std::sort(order.begin(), order.end(),
              [&](const auto& a, const auto& b) { return rank(a) < rank(b); });
    for (std::size_t i = 0; i < order.size(); ++i) {
        if (i == 0 || order[i].first != order[i - 1].first ||
            all_.back().size() == Installations::at_once)
            all_.emplace_back();
        all_.back().push_back(order[i].second);
    }
}

}  // namespace knockwell
