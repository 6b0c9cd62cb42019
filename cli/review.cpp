#include "base/whole_file.hpp"
#include "base/words.hpp"
#include "cli/commands.hpp"
#include "cli/html_review.hpp"
#include "cli/job_commands.hpp"
#include "cli/knowledge_folder.hpp"
#include "cli/learned_file.hpp"
#include "cli/new_file.hpp"
#include "cli/progress.hpp"
#include "cli/show_review.hpp"
#include "cli/since.hpp"
#include "job/summary.hpp"
#include "knowledge/tree.hpp"

#include <algorithm>
#include <filesystem>
#include <set>
#include <sstream>
#include <utility>
#include <variant>

namespace knockwell {
namespace {

/// The closed jobs, as far as the questions need them.
struct Evening {
    Shelf shelf;
    ShopBook book;
    std::optional<NumbersBook> numbers;
    ReviewScope scope;
};

bool asks(const ReviewCommand& command, ReviewAbout about) {
    return command.about == about || command.about == ReviewAbout::everything;
}

/// Where the areas lie; what is wrong is told.
std::variant<Status, Places> places_from(const Desk& desk, const std::string& file) {
    const std::string text = whole_file(file, largest_text);
    if (text.size() > largest_text) {
        desk.complain("knockwell review: " + escape_controls(file) +
                      ": it is over 4 MiB; a line for each area is enough\n");
        return status_usage;
    }
    std::istringstream in(text);
    auto read = read_places(in);
    if (const auto* wrong = std::get_if<std::vector<std::string>>(&read)) {
        for (const std::string& line : *wrong)
            desk.complain("knockwell review: " + escape_controls(file) + ": " + line + "\n");
        return status_usage;
    }
    return std::get<Places>(std::move(read));
}

void count_in(ReviewScope& scope, const Summary& job) {
    if (!job.closed)
        return;
    scope.first = scope.jobs == 0 ? job.opened : std::min(scope.first, job.opened);
    scope.last = scope.jobs == 0 ? job.opened : std::max(scope.last, job.opened);
    ++scope.jobs;
}

std::optional<Status> read_jobs(const Desk& desk, const ReviewCommand& command, Evening& all) {
    const auto since = since_told(desk, "knockwell review", command.since);
    if (const auto* status = std::get_if<Status>(&since))
        return *status;
    const auto from = std::get<0>(since);
    const auto ledger = open_ledger(desk, false);
    if (const auto* none = std::get_if<NoJob>(&ledger))
        return complain(desk, *none);
    if (asks(command, ReviewAbout::numbers))
        all.numbers.emplace(all.shelf.knowledge, command.told_again);
    const bool book = command.about != ReviewAbout::numbers;
    const auto& file = std::get<Ledger>(ledger);
    ProgressBar bar(desk, "reading");
    const Progress progress = bar.progress();
    const std::size_t jobs = file.count();
    std::size_t done = 0;
    file.each_in_short([&](const Summary& job, const std::function<Job()>& whole) {
        if (progress && ++done % 1000 == 0)
            progress(done, jobs);
        if (from && job.opened < *from)
            return;
        count_in(all.scope, job);
        if (book)
            all.book.add(job);
        if (all.numbers)
            all.numbers->add(job, whole);
    });
    return std::nullopt;
}

ReviewAnswers answers_to(const ReviewCommand& command, const Evening& all) {
    ReviewAnswers answers;
    if (asks(command, ReviewAbout::areas))
        answers.areas = review_areas(all.book, all.shelf.knowledge);
    if (asks(command, ReviewAbout::causes))
        answers.causes = review_causes(all.book);
    if (asks(command, ReviewAbout::time))
        answers.time = review_time(all.book);
    if (all.numbers)
        answers.numbers = all.numbers->review(all.shelf.model());
    return answers;
}

/// Definitions with numbers that `kb learn` has put in place.
std::size_t learned_here(const std::filesystem::path& folder) {
    const auto read = read_learned(folder);
    const auto* record = std::get_if<LearnedRecord>(&read);
    if (record == nullptr)
        return 0;
    std::set<std::string> definitions;
    for (const auto& [name, number] : record->numbers) {  // "cause.worn-pump.present"
        const std::size_t kind = name.find('.');
        definitions.insert(name.substr(0, name.find('.', kind + 1)));
    }
    return definitions.size();
}

void write_page(const Desk& desk, const std::string& name, const ReviewScene& scene,
                const ReviewAnswers& answers) {
    NewFile file(name, "write the page");
    const HtmlPage page = review_page(scene, answers);
    const auto drawn = draw(page.plots());
    file.out() << page.all(drawn);
    file.finish();
    if (!drawn)
        desk.complain("knockwell: the page has no pictures, since gnuplot is not installed; its "
                      "tables are whole\n");
    Page words(desk.style);
    words.text("The page is in " + name + ".");
    desk.print(words.all());
}

}  // namespace

Status carry_out(const ReviewCommand& command, const Desk& desk) {
    if (!command.html.empty() && desk.common.json)
        return complain(desk, refused("review --html --json", "one of them, not both", {}));
    auto shelf = desk.shelf();
    if (!shelf)
        return status_usage;
    Evening all{*std::move(shelf), {}, {}, {}};
    all.scope.version = all.shelf.version();
    all.scope.drawn_up = desk.now;
    Places places;
    if (!command.places.empty()) {
        auto from = places_from(desk, command.places);
        if (const auto* status = std::get_if<Status>(&from))
            return *status;
        places = std::get<Places>(std::move(from));
    }
    if (const auto status = read_jobs(desk, command, all))
        return *status;
    const ReviewScene scene{&all.shelf.knowledge,
                            &all.book,
                            command.false_share,
                            command.most,
                            command.places.empty() ? nullptr : &places,
                            command.since,
                            all.scope};
    ReviewAnswers answers = answers_to(command, all);
    if (answers.numbers)
        answers.numbers->learned = std::max(
            answers.numbers->learned, learned_here(knowledge_folder(*desk.here, desk.common.kb)));
    if (!command.html.empty()) {
        write_page(desk, command.html, scene, answers);
        return status_done;
    }
    if (desk.common.json) {
        desk.print(review_json(scene, answers, command.about == ReviewAbout::everything));
        return status_done;
    }
    Page page(desk.style);
    show_review(page, scene, answers);
    desk.print(page.all());
    return status_done;
}

}  // namespace knockwell
