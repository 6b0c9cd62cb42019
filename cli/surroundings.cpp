#include "cli/surroundings.hpp"

#include "cli/memory.hpp"

#include <sys/ioctl.h>
#include <unistd.h>

#include <chrono>
#include <iostream>
#include <random>
#include <string_view>
#include <system_error>

namespace knockwell {

std::string Surroundings::variable(const std::string& name) const {
    const auto it = environment.find(name);
    return it == environment.end() ? std::string{} : it->second;
}

Surroundings surroundings_of_process() {
    Surroundings here;
    for (char** entry = environ; *entry != nullptr; ++entry) {
        const std::string_view text = *entry;
        const std::size_t equals = text.find('=');
        if (equals != std::string_view::npos) {
            here.environment.emplace(text.substr(0, equals), text.substr(equals + 1));
        }
    }
    here.in = &std::cin;
    here.out = &std::cout;
    here.err = &std::cerr;
    here.now = [] {
        return std::chrono::duration_cast<std::chrono::seconds>(
                   std::chrono::system_clock::now().time_since_epoch())
            .count();
    };
    here.dice = [] { return std::random_device{}(); };
    here.make_room = make_room_in_memory;
    std::error_code none;  // where there is no /proc the knowledge is looked for elsewhere
    here.program = std::filesystem::read_symlink("/proc/self/exe", none);
    here.terminal = isatty(STDOUT_FILENO) == 1;
    here.bar = isatty(STDERR_FILENO) == 1 && here.variable("TERM") != "dumb";
    winsize size{};
    // NOLINTNEXTLINE(cppcoreguidelines-pro-type-vararg): there is no other way to ask
    if (here.terminal && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0) {
        here.columns = size.ws_col;
    }
    return here;
}

}  // namespace knockwell
