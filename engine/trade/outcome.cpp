#include "trade/outcome.hpp"

#include "base/words.hpp"

namespace knockwell {

void RangeCheck::between(const char* name, double value, double low, double high, const char* unit,
                         bool open_low) {
    if ((open_low ? value > low : value >= low) && value <= high)
        return;
    const std::string range = open_low ? "above " + number(low) + " and at most " + number(high)
                                       : "from " + number(low) + " to " + number(high);
    wrong_.says.push_back(std::string(name) + ": " + number(value) + " " + unit +
                          " is out of range (" + range + " " + unit + ")");
}

void RangeCheck::demand(bool holds, const std::string& sentence) {
    if (!holds)
        wrong_.says.push_back(sentence);
}

}  // namespace knockwell
