// trade/outcome.hpp
//
// What a computation of the trade gives: its values, or every input that is out of range.
#pragma once
#include <string>
#include <variant>
#include <vector>

namespace knockwell {

/// Sentences, lower case, no full stop, each beginning with the input it is about.
struct OutOfRange {
    std::vector<std::string> says;
    bool operator==(const OutOfRange&) const = default;
};

template <class Value>
using Outcome = std::variant<Value, OutOfRange>;

/// The value of `outcome`, or none, and what is wrong is added to `all`.
template <class Value>
[[nodiscard]] const Value* value_or_collect(const Outcome<Value>& outcome, OutOfRange& all) {
    if (const auto* wrong = std::get_if<OutOfRange>(&outcome))
        all.says.insert(all.says.end(), wrong->says.begin(), wrong->says.end());
    return std::get_if<Value>(&outcome);
}

/// Collects what is out of range. Not-a-number is out of every range.
class RangeCheck {
public:
    /// `low` <= `value` <= `high`, or above `low` only if `open_low`.
    void between(const char* name, double value, double low, double high, const char* unit,
                 bool open_low = false);
    /// Notes `sentence` unless `holds`.
    void demand(bool holds, const std::string& sentence);
    [[nodiscard]] bool fine() const { return wrong_.says.empty(); }
    [[nodiscard]] const OutOfRange& wrong() const { return wrong_; }

private:
    OutOfRange wrong_;
};

}  // namespace knockwell
