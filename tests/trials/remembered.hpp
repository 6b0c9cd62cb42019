// trials/remembered.hpp
//
// What a follower does next hangs on what was found and on where one stands alone, so no answer is
// worked out twice: the first steps of calls with the same complaint are the same.
//
// Care     the key holds all of both, and no hash stands for it. So many answers are kept and the
//          rest is worked out each time: what comes often comes early
#pragma once
#include "trials/play.hpp"

#include <cstdint>
#include <string>
#include <type_traits>
#include <unordered_map>
#include <variant>

namespace knockwell::trials {

/// All of the evidence and the situation that changes while one plays, byte by byte.
[[nodiscard]] inline std::string key_of(const Visit& visit) {
    std::string key;
    const auto put = [&](std::size_t number) {
        key += static_cast<char>(number & 0xffU);
        key += static_cast<char>(number >> 8U & 0xffU);
    };
    const auto put_all = [&](const auto& list, auto&& each) {
        put(list.size());
        for (const auto& it : list)
            each(it);
    };
    put_all(visit.evidence.settings, [&](const auto& it) {
        put(it.first.index());
        put(it.second);
    });
    put_all(visit.evidence.findings, [&](const Finding& it) {
        put(it.what.index());
        put(std::visit([](auto what) { return what.index(); }, it.what));
        put(it.value.value());  // in trials everything is found by its name
        put(static_cast<std::size_t>(it.via));
        put(it.test.valid() ? it.test.index() : 0xffffU);
        put(it.stage);
    });
    put_all(visit.evidence.repairs, [&](RepairId it) { put(it.index()); });
    put_all(visit.evidence.causes, [&](const KnownCause& it) {
        put(it.cause.index());
        put((it.present ? 1U : 0U) + 2U * it.stage);
    });
    const Situation& here = visit.situation;
    put_all(here.reached, [&](AccessId it) { put(it.index()); });
    put((here.water_open ? 8U : 0U) + (here.power_off ? 4U : 0U) + (here.pressure_zero ? 2U : 0U) +
        (here.tank_drained ? 1U : 0U));
    put_all(here.passed_over, [&](const std::string& it) {
        put(it.size());
        key += it;
    });
    put_all(here.stops_cleared_by, [&](SignId it) { put(it.index()); });
    put_all(here.vouched_state, [&](SignId it) { put(it.index()); });
    return key;
}

template <class Value>
class Remembered {
public:
    /// make() is asked once for each state, while there is room.
    template <class Make>
    Value at(const Visit& visit, Make&& make) {
        std::string key = key_of(visit);
        const auto known = kept_.find(key);
        if (known != kept_.end())
            return known->second;
        Value value = make();
        if (kept_.size() < most)
            kept_.emplace(std::move(key), value);
        return value;
    }

private:
    static constexpr std::size_t most = 50'000;
    std::unordered_map<std::string, Value> kept_;
};

}  // namespace knockwell::trials
