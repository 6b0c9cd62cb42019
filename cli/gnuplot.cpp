#include "cli/gnuplot.hpp"

#include "base/words.hpp"

#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdio>
#include <memory>
#include <stdexcept>
#include <system_error>

namespace knockwell {
namespace {

struct Closing {
    void operator()(std::FILE* file) const { (void)std::fclose(file); }
};
using Paper = std::unique_ptr<std::FILE, Closing>;

/// A file without a name, so that the program's ends never wait for one another.
Paper paper() {
    Paper file(std::tmpfile());
    if (!file)
        throw std::runtime_error("a temporary file for the plots cannot be made: " +
                                 std::generic_category().message(errno));
    return file;
}

std::string text_on(std::FILE* file) {
    std::rewind(file);
    std::string text;
    std::array<char, 1U << 16U> piece{};
    for (std::size_t got = 0; (got = std::fread(piece.data(), 1, piece.size(), file)) > 0;)
        text.append(piece.data(), got);
    if (std::ferror(file) != 0)
        throw std::runtime_error("what gnuplot wrote cannot be read: the disk is gone");
    return text;
}

/// Started with these three as its input, output and complaints: its number, or 0 where there is
/// no such program.
pid_t start(const std::string& program, std::FILE* in, std::FILE* out, std::FILE* err) {
    posix_spawn_file_actions_t actions;
    if (posix_spawn_file_actions_init(&actions) != 0)
        throw std::runtime_error("gnuplot cannot be started: no memory");
    int place = 0;
    for (std::FILE* file : {in, out, err})
        posix_spawn_file_actions_adddup2(&actions, ::fileno(file), place++);
    std::string name = program;
    std::string plain = "-d";  // no file of settings
    std::string input = "-";
    std::string words = "LC_ALL=C.UTF-8";
    const std::array<char*, 4> arguments = {name.data(), plain.data(), input.data(), nullptr};
    const std::array<char*, 2> environment = {words.data(), nullptr};
    pid_t child = 0;
    const int failed = posix_spawnp(&child, program.c_str(), &actions, nullptr, arguments.data(),
                                    environment.data());
    posix_spawn_file_actions_destroy(&actions);
    if (failed == ENOENT)
        return 0;
    if (failed != 0)
        throw std::runtime_error("gnuplot cannot be started: " +
                                 std::generic_category().message(failed));
    return child;
}

}  // namespace

std::optional<std::string> run_gnuplot(const std::string& program, const std::string& script) {
    const Paper in = paper();
    const Paper out = paper();
    const Paper err = paper();
    // What fits into a buffer goes to the disk only where it is flushed.
    if (std::fwrite(script.data(), 1, script.size(), in.get()) != script.size() ||
        std::fflush(in.get()) != 0)
        throw std::runtime_error("the plots cannot be written down: the disk is full or gone");
    std::rewind(in.get());
    const pid_t child = start(program, in.get(), out.get(), err.get());
    if (child == 0)
        return std::nullopt;
    int status = 0;
    while (::waitpid(child, &status, 0) < 0)
        if (errno != EINTR)
            throw std::runtime_error("gnuplot was lost: " + std::generic_category().message(errno));
    if (!WIFEXITED(status) || WEXITSTATUS(status) != 0)
        throw std::runtime_error("gnuplot failed: " + escape_controls(text_on(err.get())));
    return text_on(out.get());
}

}  // namespace knockwell
