// base/count.hpp
//
// A strength is a count: "9 in 10". The ratio is the probability, n is how far its writer trusts
// it.
#pragma once
#include <string>
#include <string_view>
#include <variant>

namespace knockwell {

/// `k` of `n` cases. Certain strengths ("always", "never") and exact probabilities have no range.
struct Count {
    enum class Kind { counted, exact };
    Kind kind = Kind::exact;
    double k = 0;  // exact: the probability, n = 1
    double n = 1;
    /// The probability that the model uses: of a count the mean of its Beta, which is k/n where k
    /// and n-k are at least 1/2.
    [[nodiscard]] double mean() const;
    [[nodiscard]] bool certain() const { return kind == Kind::exact && (k == 0 || k == n); }
    bool operator==(const Count&) const = default;
};

/// Parameters of the Beta distribution that a count stands for: Beta(max(k, 1/2), max(n-k, 1/2)).
/// Only for Kind::counted.
struct Beta {
    double a = 1;
    double b = 1;
};
[[nodiscard]] Beta beta_of(const Count& count);

/// Reads "9 in 10", "always", "never". Otherwise says what is wrong (lower case, no full stop).
[[nodiscard]] std::variant<Count, std::string> parse_count(std::string_view text);

/// "9 in 10", "always", "never", or the number.
[[nodiscard]] std::string to_text(const Count& count);

}  // namespace knockwell
