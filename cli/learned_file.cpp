#include "cli/learned_file.hpp"

#include "base/whole_file.hpp"
#include "base/words.hpp"
#include "cli/knowledge_folder.hpp"
#include "knowledge/read.hpp"
#include "knowledge/version.hpp"
#include "ledger/unfinished.hpp"

#include <fcntl.h>
#include <nlohmann/json.hpp>
#include <sys/file.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <fstream>
#include <optional>
#include <stdexcept>
#include <system_error>

namespace knockwell {
namespace {

namespace fs = std::filesystem;
using Kept = nlohmann::ordered_json;

constexpr int format_of_record = 1;
constexpr const char* record_name = "learned.json";
constexpr const char* journal_name = ".learning.json";

[[noreturn]] void fail_at(const fs::path& file, const std::string& deed, const std::string& why) {
    throw std::runtime_error("cannot " + deed + " " + file.string() + ": " + why);
}

std::optional<std::string> whole_text(const fs::path& file) {
    std::error_code none;
    if (!fs::exists(file, none))
        return std::nullopt;
    return whole_file(file);
}

/// Holds the folder until it goes: of two who learn, the second waits for the first. Who cannot
/// hold it (a network's file system may know no lock) goes on; the texts are looked at all the
/// same.
class FolderHeld {
public:
    explicit FolderHeld(const fs::path& folder)
        // NOLINTNEXTLINE(cppcoreguidelines-pro-type-vararg): there is no other way to open
        : handle_(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)) {
        while (handle_ >= 0 && ::flock(handle_, LOCK_EX) != 0 && errno == EINTR) {
        }
    }
    ~FolderHeld() {
        if (handle_ >= 0)
            ::close(handle_);
    }
    FolderHeld(const FolderHeld&) = delete;
    FolderHeld& operator=(const FolderHeld&) = delete;
    FolderHeld(FolderHeld&&) = delete;
    FolderHeld& operator=(FolderHeld&&) = delete;

private:
    int handle_;
};

/// The rights of the file that is replaced. A new one may be read and written by whoever may list
/// and change its folder.
fs::perms rights_of(const fs::path& file) {
    constexpr fs::perms no_program = fs::perms(0666);
    std::error_code none;
    if (const fs::file_status was = fs::status(file, none); fs::is_regular_file(was))
        return was.permissions();
    return fs::status(file.parent_path(), none).permissions() & no_program;
}

/// The text under another name, then under its own; where it is a link, what it leads to.
void replace_whole(const fs::path& file, const std::string& text) {
    std::error_code error;
    fs::path real = fs::weakly_canonical(file, error);
    if (error)
        real = file;
    Unfinished unfinished(real);
    if (const std::error_code wrong = unfinished.make())
        fail_at(real, "write", wrong.message());
    std::ofstream out(unfinished.part(), std::ios::binary);
    out << text;
    out.close();
    if (!out)
        fail_at(real, "write", "the disk is full or gone");
    fs::permissions(unfinished.part(), rights_of(real), error);
    if (const std::error_code wrong = unfinished.replace())
        fail_at(real, "replace", wrong.message());
}

std::string mark_of(const std::optional<std::string>& text) {
    if (!text)
        return "none";
    return std::to_string(text->size()) + "-" + std::to_string(fnv1a(*text));
}

std::string record_text(const LearnedRecord& record) {
    Kept numbers = Kept::object();
    for (const auto& [name, number] : record.numbers)
        numbers[name] = {{"written", number.written}, {"learned", number.learned}};
    return Kept{{"format", format_of_record}, {"numbers", numbers}, {"jobs", record.jobs}}.dump(1) +
           "\n";
}

LearnedRecord record_in(const Kept& json) {
    if (json.at("format").get<int>() != format_of_record)
        throw std::runtime_error("its format is not " + std::to_string(format_of_record));
    LearnedRecord record;
    for (const auto& [name, number] : json.at("numbers").items())
        record.numbers[name] = {number.at("written").get<std::string>(),
                                number.at("learned").get<std::string>()};
    for (const Kept& job : json.at("jobs"))
        record.jobs.insert(job.get<std::string>());
    return record;
}

/// Of JSON its library says it in words for programmers; where it stops being JSON is what helps.
std::string what_is_wrong(const std::exception& error) {
    if (const auto* broken = dynamic_cast<const Kept::parse_error*>(&error))
        return "it is no JSON from its byte " + std::to_string(broken->byte) + " on";
    if (dynamic_cast<const Kept::exception*>(&error) != nullptr)
        return "something in it is missing, or is of another kind";
    return escape_controls(error.what());
}

/// A file of the folder, no way out of it.
bool may_be_changed(const std::string& name) {
    const fs::path path(name);
    const bool inside =
        path.is_relative() &&
        std::none_of(path.begin(), path.end(), [](const fs::path& part) { return part == ".."; });
    return inside && (name == record_name || path.extension() == ".toml");
}

/// Puts every file of the journal in place that is still as it was, and takes the journal away.
std::vector<std::string> carry_through(const fs::path& folder, const Kept& journal) {
    struct Due {
        std::string name;
        std::string text;
    };
    std::vector<Due> due;
    for (const Kept& file : journal.at("files")) {
        const auto name = file.at("name").get<std::string>();
        if (!may_be_changed(name))
            throw std::runtime_error("it names " + name);
        const auto text = file.at("text").get<std::string>();
        const std::optional<std::string> now = whole_text(folder / name);
        if (now == text)
            continue;
        if (mark_of(now) != file.at("was").get<std::string>())
            throw std::runtime_error(name + " was changed meanwhile");
        due.push_back({name, text});
    }
    std::vector<std::string> done;
    for (const Due& it : due) {
        replace_whole(folder / it.name, it.text);
        done.push_back(it.name);
    }
    fs::remove(folder / journal_name);
    return done;
}

}  // namespace

std::variant<LearnedRecord, std::string> read_learned(const fs::path& folder) {
    const fs::path file = folder / record_name;
    const std::optional<std::string> text = whole_text(file);
    if (!text)
        return LearnedRecord{};
    try {
        return record_in(Kept::parse(*text));
    } catch (const std::exception& error) {
        return escape_controls(file.string()) +
               " is not as this program wrote it: " + what_is_wrong(error) +
               "\n  put it back from a copy; without it the numbers as they stand count as "
               "written, "
               "and jobs that have taught them would count twice\n";
    }
}

std::string put_in_place(const fs::path& folder, const std::vector<Source>& before,
                         const LearnedRecord& record_before, const std::vector<Source>& after,
                         const LearnedRecord& record) {
    const FolderHeld held(folder);
    if (fs::exists(fs::symlink_status(folder / journal_name)))
        return journal_name;  // another one's, which counts as made
    const std::vector<Source> now = gather_sources(folder);
    for (std::size_t i = 0; i < std::max(now.size(), before.size()); ++i)
        if (i >= now.size() || i >= before.size() || now[i] != before[i])
            return i < before.size() ? before[i].name : now[i].name;
    const auto kept = read_learned(folder);
    if (const auto* same = std::get_if<LearnedRecord>(&kept);
        same == nullptr || *same != record_before)
        return record_name;
    Kept files = Kept::array();
    for (std::size_t i = 0; i < after.size(); ++i)
        if (after[i].text != before[i].text)
            files.push_back({{"name", within_folder(folder, after[i].name)},
                             {"was", mark_of(before[i].text)},
                             {"text", after[i].text}});
    files.push_back({{"name", record_name},
                     {"was", mark_of(whole_text(folder / record_name))},
                     {"text", record_text(record)}});
    const Kept journal{{"format", format_of_record}, {"files", files}};
    replace_whole(folder / journal_name, journal.dump(1) + "\n");
    (void)carry_through(folder, journal);
    return {};
}

std::variant<std::vector<std::string>, std::string> finish_learning(const fs::path& folder) {
    const FolderHeld held(folder);
    const fs::path file = folder / journal_name;
    const std::optional<std::string> text = whole_text(file);
    if (!text)
        return std::vector<std::string>{};
    try {
        return carry_through(folder, Kept::parse(*text));
    } catch (const std::exception& error) {
        return "learning was cut off while it changed the knowledge, and cannot be gone on with: " +
               what_is_wrong(error) + "\n  what was to stand is in " +
               escape_controls(file.string()) +
               "; put the files back from a copy, or take that file away to keep them as they "
               "are\n";
    }
}

}  // namespace knockwell
