#include "base/same_road.hpp"

#include "base/words.hpp"

namespace knockwell {

std::string same_road(std::string_view area) {
    std::string road;
    for (const char c : area)
        if (c != ' ' || (!road.empty() && road.back() != ' '))
            road += small_letter(c);
    const std::size_t last = road.find_last_not_of(" .");
    if (last != std::string::npos)
        road.erase(last + 1);
    return road;
}

}  // namespace knockwell
