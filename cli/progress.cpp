#include "cli/progress.hpp"

#include <algorithm>
#include <ostream>
#include <utility>

namespace knockwell {

ProgressBar::ProgressBar(const Desk& desk, std::string deed)
    : desk_(&desk), deed_(std::move(deed)) {}

ProgressBar::~ProgressBar() {
    if (drawn_ <= 100)
        *desk_->here->err << '\r' << std::string(deed_.size() + 32, ' ') << '\r' << std::flush;
}

Progress ProgressBar::progress() {
    if (!desk_->here->bar)
        return {};
    return [this](std::size_t done, std::size_t all) { draw(done, all); };
}

void ProgressBar::draw(std::size_t done, std::size_t all) {
    const std::size_t percents = all == 0 ? 100 : std::min<std::size_t>(100, done * 100 / all);
    if (percents == drawn_)
        return;
    drawn_ = percents;
    constexpr std::size_t wide = 20;
    const std::size_t full = percents * wide / 100;
    const std::string figure = std::to_string(percents);
    *desk_->here->err << '\r' << deed_ << "  [" << std::string(full, '#')
                      << std::string(wide - full, '.') << "] "
                      << std::string(3 - figure.size(), ' ') << figure << " %" << std::flush;
}

}  // namespace knockwell
