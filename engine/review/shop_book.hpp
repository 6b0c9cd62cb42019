// review/shop_book.hpp
//
// Every closed job of a shop in a few bytes, so that a million of them are looked through in
// memory.
//
// Held by  tests/review/areas_test.cpp
#pragma once
#include "job/summary.hpp"

#include <cstddef>
#include <cstdint>
#include <map>
#include <span>
#include <string>
#include <unordered_map>
#include <vector>

namespace knockwell {

/// Texts by number, each once.
class Names {
public:
    std::uint32_t number_of(const std::string& name);
    [[nodiscard]] const std::string& operator[](std::uint32_t number) const {
        return names_[number];
    }
    [[nodiscard]] std::size_t size() const { return names_.size(); }

private:
    std::vector<std::string> names_;
    std::unordered_map<std::string, std::uint32_t> numbers_;
};

/// Areas by number, each once however it is spelled (same_road), under its usual spelling: the one
/// of most jobs, of several the first in the alphabet.
class Roads {
public:
    std::uint32_t number_of(const std::string& area);
    [[nodiscard]] const std::string& operator[](std::uint32_t number) const {
        return spelled_[number].usual;
    }
    [[nodiscard]] std::size_t size() const { return spelled_.size(); }

private:
    struct Spelled {
        std::map<std::string, std::size_t> jobs;  // [spelling]
        std::string usual;
        std::size_t most = 0;  // jobs that spell it so
    };
    Names roads_;
    std::vector<Spelled> spelled_;
};

constexpr std::int64_t year_seconds = 31557600;  // 365.25 days

/// A closed job. Numbers are those of the book's names.
struct Visit {
    std::int64_t opened = 0;
    std::uint32_t area = 0;
    std::uint32_t installation = 0;  // of one area: the same code elsewhere is another house
    std::uint32_t complaint = 0;
    float minutes = 0;
    bool cured = false;
    bool call_back = false;
    std::uint32_t first_cause = 0;
    std::uint32_t first_setting = 0;
    std::uint16_t causes = 0;
    std::uint16_t settings = 0;
};

/// A cause that a job names.
struct NamedCause {
    std::uint32_t cause = 0;
    bool sure = true;  // more than guessed
};

class ShopBook {
public:
    /// Open jobs are passed over.
    void add(const Summary& summary);

    [[nodiscard]] const std::vector<Visit>& visits() const { return visits_; }
    /// Places of the visits, the first opened first.
    [[nodiscard]] std::vector<std::uint32_t> in_time() const;
    [[nodiscard]] std::span<const NamedCause> causes_of(const Visit& visit) const {
        return {causes_.data() + visit.first_cause, visit.causes};
    }
    /// "pump=submersible" by number, ascending by text.
    [[nodiscard]] std::span<const std::uint32_t> settings_of(const Visit& visit) const {
        return {settings_.data() + visit.first_setting, visit.settings};
    }

    Roads areas;
    Names installations;
    Names causes;
    Names settings;
    Names complaints;

private:
    std::vector<Visit> visits_;
    std::vector<NamedCause> causes_;
    std::vector<std::uint32_t> settings_;
};

}  // namespace knockwell
