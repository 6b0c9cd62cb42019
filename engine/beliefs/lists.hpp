// beliefs/lists.hpp
//
// Many short lists in two arrays. Inside this floor only.
#pragma once
#include <cstddef>
#include <cstdint>
#include <span>
#include <utility>
#include <vector>

namespace knockwell {

/// Lists of numbers, one behind the other.
class Lists {
public:
    void reserve(std::size_t lists, std::size_t numbers) {
        ends_.reserve(lists);
        all_.reserve(numbers);
    }
    void end_list() { ends_.push_back(static_cast<std::uint32_t>(all_.size())); }
    void push(std::uint32_t number) { all_.push_back(number); }
    [[nodiscard]] std::size_t size() const { return all_.size(); }
    [[nodiscard]] std::span<const std::uint32_t> operator[](std::size_t i) const {
        const std::uint32_t begin = i == 0 ? 0 : ends_[i - 1];
        return {all_.data() + begin, ends_[i] - begin};
    }

    /// The lists of those pairs (list, number) that `each` passes on, `count` lists.
    template <class Each>
    static Lists of(std::size_t count, const Each& each) {
        Lists lists;
        lists.ends_.assign(count, 0);
        std::uint32_t total = 0;
        each([&](std::uint32_t list, std::uint32_t) {
            ++lists.ends_[list];
            ++total;
        });
        lists.all_.resize(total);
        std::uint32_t first = 0;
        for (std::uint32_t& end : lists.ends_)
            first += std::exchange(end, first);
        each([&](std::uint32_t list, std::uint32_t number) {
            lists.all_[lists.ends_[list]++] = number;
        });
        return lists;
    }

private:
    std::vector<std::uint32_t> all_, ends_;
};

}  // namespace knockwell
