#include "job/time_text.hpp"

#include <algorithm>
#include <chrono>
#include <string>

namespace knockwell {
namespace {

/// Takes text from the front; once something does not fit, nothing fits any more.
class Scanner {
public:
    explicit Scanner(std::string_view text) : rest_(text) {}

    int digits(std::size_t how_many) {
        int value = 0;
        for (std::size_t i = 0; i < how_many; ++i) {
            const int digit = next_digit();
            if (digit < 0)
                return fail();
            value = 10 * value + digit;
        }
        return value;
    }
    /// One of `these`, as the one that it was.
    char one_of(std::string_view these) {
        if (rest_.empty() || these.find(rest_.front()) == std::string_view::npos) {
            fail();
            return '\0';
        }
        const char c = rest_.front();
        rest_.remove_prefix(1);
        return c;
    }
    bool skip(char c) {
        if (rest_.empty() || rest_.front() != c)
            return false;
        rest_.remove_prefix(1);
        return true;
    }
    void skip_digits() {
        while (next_digit() >= 0) {
        }
    }
    int fail() {
        good_ = false;
        rest_ = {};
        return 0;
    }
    [[nodiscard]] bool good_to_the_end() const { return good_ && rest_.empty(); }

private:
    int next_digit() {
        if (rest_.empty() || rest_.front() < '0' || rest_.front() > '9')
            return -1;
        const int digit = rest_.front() - '0';
        rest_.remove_prefix(1);
        return digit;
    }

    std::string_view rest_;
    bool good_ = true;
};

/// Seconds that the local time is ahead of UTC.
std::int64_t offset(Scanner& scan) {
    const char sign = scan.one_of("Zz+-");
    if (sign != '+' && sign != '-')
        return 0;
    const int hours = scan.digits(2);
    scan.one_of(":");
    const int minutes = scan.digits(2);
    if (hours > 23 || minutes > 59)
        scan.fail();
    return (sign == '-' ? -60 : 60) * (60 * std::int64_t{hours} + minutes);
}

/// `number`, which is not negative, in at least `width` digits.
std::string padded(std::int64_t number, std::size_t width) {
    const std::string digits = std::to_string(number);
    return std::string(width - std::min(width, digits.size()), '0') + digits;
}

}  // namespace

std::string format_time(std::int64_t at) {
    if (at < first_moment || at > last_moment)
        return std::to_string(at) + " s";
    const std::chrono::sys_seconds moment{std::chrono::seconds{at}};
    const auto day = std::chrono::floor<std::chrono::days>(moment);
    const std::chrono::year_month_day date{day};
    const std::chrono::hh_mm_ss clock{moment - day};
    return padded(static_cast<int>(date.year()), 4) + "-" +
           padded(static_cast<unsigned>(date.month()), 2) + "-" +
           padded(static_cast<unsigned>(date.day()), 2) + "T" + padded(clock.hours().count(), 2) +
           ":" + padded(clock.minutes().count(), 2) + ":" + padded(clock.seconds().count(), 2) +
           "Z";
}

std::string format_day(std::int64_t at) {
    constexpr std::size_t letters = 10;  // of "2026-11-25T13:14:45Z"
    return format_time(at).substr(0, letters);
}

std::string against_time(std::string_view name, std::int64_t at) {
    return at < first_written || at > last_written
               ? std::string(name) + " lies outside of the years 1950 to 2199"
               : "";
}

std::variant<std::int64_t, NoTime> read_time(std::string_view text) {
    Scanner scan(text);
    const int year = scan.digits(4);
    scan.one_of("-");
    const int month = scan.digits(2);
    scan.one_of("-");
    const int day = scan.digits(2);
    scan.one_of("Tt ");
    const int hour = scan.digits(2);
    scan.one_of(":");
    const int minute = scan.digits(2);
    scan.one_of(":");
    const int second = scan.digits(2);
    if (scan.skip('.')) {
        scan.digits(1);
        scan.skip_digits();
    }
    const std::int64_t ahead = offset(scan);
    const std::chrono::year_month_day date{std::chrono::year{year},
                                           std::chrono::month{static_cast<unsigned>(month)},
                                           std::chrono::day{static_cast<unsigned>(day)}};
    if (!scan.good_to_the_end())
        return NoTime::not_written_so;
    if (!date.ok() || hour > 23 || minute > 59 || second > 60)
        return NoTime::no_such_moment;
    const std::int64_t days = std::chrono::sys_days{date}.time_since_epoch().count();
    const std::int64_t at =
        days * day_seconds + 3600 * std::int64_t{hour} + 60 * std::int64_t{minute} + second - ahead;
    if (second == 60 && at % day_seconds != 0)
        return NoTime::no_such_moment;
    return at;
}

std::optional<std::int64_t> parse_time(std::string_view text) {
    const auto read = read_time(text);
    const auto* at = std::get_if<std::int64_t>(&read);
    return at != nullptr ? std::optional(*at) : std::nullopt;
}

}  // namespace knockwell
