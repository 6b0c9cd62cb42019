// trials/house.hpp
//
// One installation as it truly is, drawn from the network: its settings, what is wrong, what each
// fault brings about, and what a look or a question would report. docs/model.md says the law; this
// follows it by drawing, where the beliefs add up, and shares no code with them but the misreading
// of instruments.
//
// Care     tables are not drawn: the shipped knowledge has none
#pragma once
#include "beliefs/beliefs.hpp"

#include <cstdint>
#include <span>
#include <vector>

namespace knockwell::trials {

class House {
public:
    /// `strengths`: one for each strength of the network; they need not outlive the house.
    House(const Model& model, std::span<const double> strengths, std::uint64_t seed);

    [[nodiscard]] std::size_t state(SettingId setting) const { return setting_[setting.index()]; }
    [[nodiscard]] bool wrong(CauseId cause) const { return cause_[cause.index()]; }

    /// The true value now, before any report: 0 where nothing is to be seen.
    [[nodiscard]] std::size_t truth(SignId sign) const;

    /// Causes that are there and bring the sign about now.
    [[nodiscard]] std::vector<CauseId> behind(SignId sign) const;

    /// What this look reports of the sign, in this stage; the same whenever it is asked.
    [[nodiscard]] std::size_t report(SignId sign, Via via, TestId test, std::size_t stage) const;

    void repair(RepairId repair);
    void hand_over(const std::vector<CauseId>& causes);

private:
    struct Fired {
        std::uint32_t trigger = 0;  // 0: the leak; else 1 + cause
        std::size_t high = 0;
        std::size_t low = 0;
    };

    void draw_settings();
    void draw_causes();
    [[nodiscard]] bool holds(const Conditions& conditions) const;
    [[nodiscard]] std::size_t level(StrengthRange shares, std::uint64_t sign, std::uint64_t trigger,
                                    std::uint64_t side) const;
    [[nodiscard]] bool shows_now(std::uint32_t cause, const SignNode& node) const;
    [[nodiscard]] std::vector<Fired> fired(SignId sign) const;
    [[nodiscard]] bool hidden(SignId sign) const;
    [[nodiscard]] std::size_t value_of(SignId sign, const std::vector<Fired>& fired) const;
    [[nodiscard]] std::size_t read(const Finding& look, std::size_t truth, double chance) const;
    [[nodiscard]] std::size_t notice(SignId sign, const Channel& channel,
                                     std::initializer_list<std::uint64_t> look) const;

    Model model_;
    std::vector<double> strengths_;
    std::uint64_t seed_;
    std::vector<std::size_t> setting_;
    std::vector<bool> cause_;
};

}  // namespace knockwell::trials
