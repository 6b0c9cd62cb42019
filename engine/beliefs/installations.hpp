// beliefs/installations.hpp
//
// The same findings at many installations, of each of which other settings are known: what they say
// together of the numbers behind them.
//
// Idea     one sum in which the settings are open. What is known of one is what it starts with: 1
//          for the known choice instead of the shares of all. So nothing but those starts differs
//          from one installation to the next: eight are added up at once, the sum is built once for
//          all, and what hangs on its numbers is carried back to the strengths once, at the end.
//          The setting on which most causes hang (`only_if`) is not left open: where another choice
//          of it is known there is another sum, so that each is narrow
// Held by  tests/laws/expected_law_test.cpp (one after the other), tests/learning/
#pragma once
#include "beliefs/expected.hpp"

#include <functional>
#include <map>
#include <memory>
#include <span>

namespace knockwell {

/// For one thread.
class Installations {
public:
    using Settings = std::map<SettingId, std::size_t>;
    static constexpr std::size_t at_once = 8;

    /// `findings` without settings and quantities; the knowledge without tables. `model` must
    /// outlive it.
    Installations(const Model& model, Evidence findings);
    ~Installations();
    Installations(Installations&&) noexcept;
    Installations& operator=(Installations&&) noexcept;
    Installations(const Installations&) = delete;
    Installations& operator=(const Installations&) = delete;

    /// Installations of one group can be asked at once.
    [[nodiscard]] std::size_t group_of(const Settings& known) const;

    /// Under these strengths from now on; nothing is added up yet.
    void begin(std::span<const double> strengths);

    /// How many times one of those that are asked counts, by ln P(findings | what is known of it).
    using Times = std::function<double(std::size_t which, double log_chance)>;
    /// Adds up to `at_once` of one group; does not ask for the times of one where the findings are
    /// impossible. False where it is too wide to add up.
    [[nodiscard]] bool add(std::span<const Settings* const> known, const Times& times);

    /// What all say together, but of the shares of settings; its logarithm is 0.
    [[nodiscard]] Expected sum();

private:
    class Group;  // of which the same is known of one setting
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

}  // namespace knockwell
