// cli/stage.hpp, of the tests
//
// The command in a world of its own: a ledger in a temporary folder, a clock that stands still,
// dice that always fall alike.
#pragma once
#include "cli/surroundings.hpp"

#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace knockwell {

struct Printed {
    int status = -1;
    std::string out;
    std::string err;
};

class Stage {
public:
    /// Commands are typed in `folder`: its kb/ is the knowledge.
    explicit Stage(const std::filesystem::path& folder);
    /// Commands are typed deep inside the temporary folder, beside a copy of `folder`'s kb/: what
    /// they make goes with it.
    [[nodiscard]] static std::unique_ptr<Stage> apart(const std::filesystem::path& folder);
    ~Stage();
    Stage(const Stage&) = delete;
    Stage& operator=(const Stage&) = delete;
    Stage(Stage&&) = delete;
    Stage& operator=(Stage&&) = delete;

    Printed run(const std::vector<std::string>& arguments);
    /// A line as a shell takes it; it must begin with "knockwell".
    Printed type(std::string_view line);

    Surroundings here;  // may be changed before a run
    [[nodiscard]] std::filesystem::path room() const { return room_; }  // thrown away at the end

private:
    std::filesystem::path room_;
    std::filesystem::path before_;  // the folder to go back to
    std::uint32_t dice_ = 1;
};

/// Words of a line: blanks part them, '...' and "..." hold them together, a backslash before the
/// end of line joins lines. Nothing else of a shell is known; such a line is refused by an
/// exception, so that no example passes that a shell would read otherwise.
[[nodiscard]] std::vector<std::string> shell_words(std::string_view line);

}  // namespace knockwell
