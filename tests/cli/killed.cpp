#include "cli/killed.hpp"

#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <thread>

namespace knockwell {

bool killed_after(Stage& stage, const std::vector<std::string>& command,
                  std::chrono::microseconds after) {
    const pid_t child = ::fork();
    if (child == 0)
        ::_exit(stage.run(command).status);
    std::this_thread::sleep_for(after);
    ::kill(child, SIGKILL);
    int status = 0;
    ::waitpid(child, &status, 0);
    return WIFEXITED(status);
}

std::chrono::microseconds time_of(Stage& stage, const std::vector<std::string>& command) {
    const auto start = std::chrono::steady_clock::now();
    const Printed printed = stage.run(command);
    EXPECT_EQ(printed.status, 0) << printed.err;
    return std::chrono::duration_cast<std::chrono::microseconds>(std::chrono::steady_clock::now() -
                                                                 start);
}

std::chrono::microseconds KillMoments::next() {
    // Every other one near the end, where the files are written.
    const auto span = static_cast<std::uint32_t>(longest_.count()) + 2;
    const std::uint32_t from = rounds_ % 2 == 0 ? 0 : span / 2;
    return std::chrono::microseconds(from + dice_() % (span - from));
}

void KillMoments::came_in_time(bool yes) {
    longest_ = yes ? longest_ * 4 / 3 : longest_ * 3 / 4;
    in_time_ += yes ? 1U : 0U;
    ++rounds_;
}

bool KillMoments::enough(std::uint64_t least) const {
    const std::uint64_t rounds = std::max<std::uint64_t>(least, 5);
    return rounds_ >= (in_time_ > 0 ? rounds : 10 * rounds);
}

}  // namespace knockwell
