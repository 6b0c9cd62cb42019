// learning/turns.hpp
//
// In which order two hearers go through what there is to hear. Inside this floor only.
#pragma once
#include "beliefs/installations.hpp"
#include "learning/lessons.hpp"

#include <cstddef>
#include <cstdint>
#include <vector>

namespace knockwell {

/// Numbers of a list, in the order in which they are heard: those that take the same plan one after
/// the other, in stretches that go to the two hearers by turns.
class Turns {
public:
    /// Every how manyth of a list is heard.
    Turns(std::size_t all, std::size_t every);
    /// From two threads, while the list is heard; it counts from settle() on.
    void note(std::size_t which, std::size_t shape) { noted_[which] = shape; }
    void settle();
    /// act(which) for all that are hearer `mine`'s.
    template <class Act>
    void each(std::size_t mine, Act act) const {
        constexpr std::size_t longest = 256;
        std::size_t turn = 0;
        for (std::size_t from = 0; from < order_.size(); ++turn) {
            std::size_t to = from + 1;
            while (to < order_.size() && to - from < longest &&
                   shape_[order_[to]] == shape_[order_[from]])
                ++to;
            for (std::size_t i = from; i < to && turn % 2 == mine; ++i)
                act(order_[i]);
            from = to;
        }
    }

private:
    std::vector<std::size_t> shape_;  // by which the order is
    std::vector<std::size_t> noted_;
    std::vector<std::size_t> order_;
};

/// Installations that can be asked at once.
using Batch = std::vector<std::uint32_t>;

/// Batches, to the two hearers by turns.
class Batches {
public:
    Batches() = default;
    /// Those of which something is to be heard, each batch of one group.
    Batches(const LessonBook& book, const Installations& installations,
            const std::vector<double>& quiet_jobs);
    template <class Act>
    void each(std::size_t mine, Act act) const {
        for (std::size_t i = mine; i < all_.size(); i += 2)
            act(all_[i]);
    }

private:
    std::vector<Batch> all_;
};

}  // namespace knockwell
