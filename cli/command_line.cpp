#include "cli/command_line.hpp"

#include "base/nearest.hpp"
#include "base/words.hpp"
#include "cli/command_options.hpp"
#include "cli/page.hpp"
#include "trade/calc.hpp"

#include <map>
#include <optional>
#include <utility>

namespace knockwell {
namespace {

/// Options on as many lines as they need, each but the last ending in a backslash as a shell wants
/// it.
std::string example_lines(const std::string& command, const std::string& options) {
    std::string lines = wrap(options, page_width - 4, 6, 0);
    for (std::size_t at = lines.find('\n'); at != std::string::npos;
         at = lines.find('\n', at + 3)) {
        lines.insert(at, " \\");
    }
    return "  " + command + (options.empty() ? "" : " \\\n      ") + lines;
}

void ledger_verify_options(CLI::App& verify, Room& room) {
    kept_options(verify, room.common, nullptr);
}

void ledger_backup_options(CLI::App& backup, Room& room) {
    text_option(backup, "FILE", room.ledger_backup.file, "The copy; it must not be there yet", "")
        ->required();
    kept_options(backup, room.common, nullptr);
}

void ledger_export_options(CLI::App& out, Room& room) {
    text_option(out, "FILE", room.ledger_export.file,
                "It must not be there yet; without one, or as -, print", "");
    out.add_flag("--csv", room.ledger_export.csv,
                 in_column("A row of a spreadsheet for each job, in short"));
    kept_options(out, room.common, nullptr);
}

void ledger_import_options(CLI::App& in, Room& room) {
    text_option(in, "FILE", room.ledger_import.file, "What export wrote, or a spreadsheet as CSV",
                "")
        ->required();
    text_option(in, "--map", room.ledger_import.map, "What the columns of the CSV are", "TOML");
    kept_options(in, room.common, nullptr);
}

void ledger_merge_options(CLI::App& merge, Room& room) {
    merge.add_option("FILE", room.ledger_merge.files, in_column("Ledgers; they are only read"))
        ->type_name("")
        ->required();
    kept_options(merge, room.common, nullptr);
}

void ledger_demo_options(CLI::App& demo, Room& room) {
    whole_number_option(demo, "--jobs", room.ledger_demo.jobs, "How many (3000)", 1, 10000000);
    demo.add_option("--seed", room.ledger_demo.seed, "Another shop for each (1)")->type_name("N");
    common_options(demo, room.common);
}

void add_ledger_commands(CLI::App& ledger, Room& room) {
    ledger.require_subcommand(1);
    add_command(ledger, room, "verify", "Read every row and every page",
                "  knockwell ledger verify", ledger_verify_options);

    add_command(ledger, room, "backup", "Copy the ledger as it is at this moment",
                "  knockwell ledger backup ledger-2026-11-25.sqlite", ledger_backup_options);

    add_command(ledger, room, "export", "Write every job as a line of JSON",
                "  knockwell ledger export jobs.jsonl", ledger_export_options);

    add_command(ledger, room, "import", "Take jobs in, all of them or none",
                "  knockwell ledger import jobs.jsonl\n"
                "  knockwell ledger import jobs.csv --map columns.toml",
                ledger_import_options);

    add_command(ledger, room, "merge", "Take in the jobs of other ledgers",
                "  knockwell ledger merge truck-2.sqlite", ledger_merge_options);

    add_command(ledger, room, "demo", "Print the jobs of a made-up shop, for a trial",
                "  knockwell ledger demo --jobs 3000 --seed 1 > demo.jsonl\n"
                "  knockwell ledger import demo.jsonl --ledger demo.sqlite",
                ledger_demo_options);
}

void review_options(CLI::App& app, Room& room, const std::string& name) {
    whole_number_option(app, "--most", room.review.most, "How many are told (10)", 1, 100000);
    if (name != "causes")
        app.add_option("--chance", room.review.false_share,
                       in_column("Of what is named, the share that may be chance (0.1)"))
            ->type_name("SHARE")
            ->check(number_between(0.0001, 1.0));
    if (name == "numbers" || name.empty())
        whole_number_option(app, "--jobs", room.review.told_again,
                            "How many jobs are told again, drawn evenly (3000)", 1, 10000000);
    text_option(app, "--since", room.review.since, "Only jobs opened from this day on",
                "YYYY-MM-DD");
    CLI::Option* html = text_option(app, "--html", room.review.html,
                                    "Write a page for a browser; it must not be there yet", "FILE");
    if (name == "areas" || name.empty())
        text_option(app, "--places", room.review.places,
                    "Where the areas lie, for a map on the page: area,east,north", "CSV")
            ->needs(html);
    kept_options(app, room.common, nullptr);
}

void add_review_commands(CLI::App& review, Room& room) {
    review.require_subcommand(0, 1);
    review_options(review, room, "");
    const auto question = [&](const std::string& name, const std::string& says) {
        add_command(review, room, name, says, "  knockwell review " + name + " --most 5",
                    [name](CLI::App& app, Room& into) { review_options(app, into, name); });
    };
    question("areas",
             "Causes that recur in one area more than chance and its installations explain");
    question("causes", "Cause by cause: jobs, houses, call-backs, minutes");
    question("time", "Causes that rise, keep to a season, or broke out");
    question("numbers", "The knowledge's chances, guesses and minutes against the jobs");
}

void kb_check_options(CLI::App& check, Room& room) {
    check.add_flag("--sources", room.kb_check.sources, "Say where the strengths come from");
    common_options(check, room.common);
}

void kb_show_options(CLI::App& show, Room& room) {
    show.add_option("NAME", room.kb_show.names,
                    in_column("Identifiers, or pieces of titles; none: what there is"))
        ->type_name("");
    common_options(show, room.common);
}

void kb_graph_options(CLI::App& graph, Room& room) {
    text_option(graph, "CAUSE", room.kb_graph.cause, "Only what touches this cause", "");
    common_options(graph, room.common);
}

void kb_practice_options(CLI::App& practice, Room& room) { common_options(practice, room.common); }

void kb_learn_options(CLI::App& learn, Room& room) {
    learn.add_flag("--apply", room.kb_learn.apply,
                   in_column("Put the learned numbers into the knowledge"));
    whole_number_option(learn, "--rounds", room.kb_learn.rounds,
                        "How often the jobs are gone over, at most (60)", 1, 1000);
    kept_options(learn, room.common, nullptr);
}

void add_kb_commands(CLI::App& kb, Room& room) {
    kb.require_subcommand(1);
    add_command(kb, room, "check", "Report everything that is wrong with the knowledge",
                "  knockwell kb check --kb kb", kb_check_options);

    add_command(kb, room, "show", "Show definitions, or what there is",
                "  knockwell kb show plugged-switch-port", kb_show_options);

    add_command(kb, room, "graph", "Draw causes and signs in the language of Graphviz",
                "  knockwell kb graph plugged-switch-port | dot -Tsvg > port.svg",
                kb_graph_options);

    add_command(kb, room, "practice", "Run the worked cases kept with the knowledge",
                "  knockwell kb practice", kb_practice_options);

    add_command(kb, room, "learn", "What closed jobs teach the numbers, line by line",
                "  knockwell kb learn\n  knockwell kb learn --apply", kb_learn_options);
}

void calculation_options(CLI::App& app, Room& room, const Computation& it) {
    CalcCommand& into = room.calc[it.name];
    into.name = it.name;
    for (const CalcInput& input : it.inputs) {
        const std::string usual = input.standard ? " (" + *input.standard + ")" : "";
        const std::string words = input.choices.empty() ? "" : ": " + list_of(input.choices, "or");
        text_option(app, "--" + input.name, into.inputs[input.name], input.help + usual + words,
                    !input.choices.empty() ? "WORD"
                    : input.unit.empty()   ? "NUMBER"
                                           : input.unit)
            ->required(!input.standard && !input.optional);
    }
    common_options(app, room.common);
}

void add_calculations(CLI::App& calc, Room& room) {
    calc.require_subcommand(0, 1);
    common_options(calc, room.common);
    for (const Computation& it : computations())
        add_command(calc, room, it.name, it.title,
                    example_lines("knockwell calc " + it.name, it.example),
                    [it](CLI::App& app, Room& into) { calculation_options(app, into, it); });
}

void add_commands(CLI::App& root, Room& room) {
    add_job_commands(root, room);
    add_command(root, room, "jobs", "List, show and correct the jobs of the ledger",
                "  knockwell jobs list --most 10\n  knockwell jobs show 4f1c",
                add_job_list_commands);
    add_command(root, room, "ledger", "The file of the jobs as a whole",
                "  knockwell ledger backup ledger-2026-11-25.sqlite", add_ledger_commands);
    add_command(root, room, "review", "What the closed jobs show; without a word more, all",
                "  knockwell review areas\n  knockwell review --html review.html",
                add_review_commands);
    add_command(root, room, "kb", "The curator's bench", "  knockwell kb check --kb kb",
                add_kb_commands);
    add_command(root, room, "calc", "Computations of the trade by themselves",
                "  knockwell calc drawdown --help", add_calculations);
}

/// The innermost command that was named.
const CLI::App& innermost(const CLI::App& root) {
    const CLI::App* app = &root;
    while (!app->get_subcommands().empty())
        app = app->get_subcommands().front();
    return *app;
}

std::string whole_name(const CLI::App& app) {
    const CLI::App* parent = app.get_parent();
    return parent == nullptr ? app.get_name() : whole_name(*parent) + " " + app.get_name();
}

std::vector<std::string> commands_of(const CLI::App& app) {
    std::vector<std::string> names;
    for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; }))
        names.push_back(command->get_name());
    return names;
}

std::vector<std::string> words_of(const CLI::App& app) {
    std::vector<std::string> known;
    for (const CLI::Option* option : app.get_options()) {
        if (!option->get_lnames().empty())
            known.push_back("--" + option->get_lnames().front());
    }
    const std::vector<std::string> commands = commands_of(app);
    known.insert(known.end(), commands.begin(), commands.end());
    return known;
}

BadUsage explained(const CLI::App& root, const CLI::ParseError& error) {
    const CLI::App& app = innermost(root);
    const std::vector<std::string> over = root.remaining(true);
    std::string text = shortened(error.what());
    const bool no_command = dynamic_cast<const CLI::RequiredError*>(&error) != nullptr;
    if (no_command && !commands_of(app).empty())
        text = "which command? " + list_of(commands_of(app), "or");
    std::vector<std::string> near;
    if (!over.empty()) {
        const std::string typed = over.front().substr(0, over.front().find('='));
        near = nearest(typed, words_of(app));
        text = in_quotes(over.front()) + " is not understood here";
        if (!near.empty() && near.front() == typed) {
            text = in_quotes(over.front()) + " goes behind the command: " + whole_name(app) + " " +
                   typed;
            near.clear();
        }
    }
    text = whole_name(app) + ": " + escape_controls(text) + "\n";
    if (!near.empty())
        text += "  nearest: " + list_of(near, "or") + "\n";
    text += "  help: " + whole_name(app) + " --help\n";
    return {lines_within(text, page_width)};
}

/// "--area", or "ID" of a word without an option before it.
std::string written(const CLI::Option& option) {
    return option.get_lnames().empty() ? option.get_name() : "--" + option.get_lnames().front();
}

BadUsage is_empty(const std::string& option) {
    return {"knockwell: " + option + ": it is empty; say what it is, or leave it out\n"};
}

/// The first option that was given as an empty word: most often a variable of a script that was
/// never set, and then the usual would be taken for what was meant.
std::optional<BadUsage> against_empty(const CLI::App& app) {
    for (const CLI::Option* option : app.get_options())
        for (const std::string& value : option->results())
            if (value.empty())
                return is_empty(written(*option));
    for (const CLI::App* command : app.get_subcommands())
        if (auto bad = against_empty(*command))
            return bad;
    return std::nullopt;
}

/// The same of "--area=", of which the library would take the next word for the value.
std::optional<BadUsage> against_empty(const std::vector<std::string>& arguments) {
    for (const std::string& word : arguments)
        if (word.starts_with("--") && word.size() > 3 && word.find('=') == word.size() - 1)
            return is_empty(echo(word.substr(0, word.size() - 1)));
    return std::nullopt;
}

std::variant<Parsed, Help, BadUsage> closing(Room& room) {
    if (int{room.cured} + int{room.not_cured} + int{room.handed_over} > 1)
        return BadUsage{"knockwell close: say one of --cured, --not-cured, --handed-over\n"};
    if (room.cured && !room.close.despite.empty()) {
        return BadUsage{"knockwell close: a job is not cured while a stop stands; --despite goes "
                        "with\n  --handed-over or --not-cured\n"};
    }
    room.close.outcome = room.cured         ? "cured"
                         : room.not_cured   ? "not-cured"
                         : room.handed_over ? "handed-over"
                                            : "";
    return Parsed{room.common, room.close};
}

std::variant<Parsed, Help, BadUsage> chosen(const CLI::App& root, Room& room) {
    const CLI::App& app = innermost(root);
    const std::string name = whole_name(app).substr(root.get_name().size() + 1);
    if (name == "calc")
        return Parsed{room.common, CalcCommand{}};
    if (app.get_parent()->get_name() == "calc") {
        CalcCommand& calc = room.calc.at(app.get_name());
        std::erase_if(calc.inputs, [&](const auto& input) {
            return app.get_option("--" + input.first)->count() == 0;
        });
        return Parsed{room.common, calc};
    }
    if (name == "close")
        return closing(room);
    if (name == "review" || app.get_parent()->get_name() == "review") {
        const std::map<std::string, ReviewAbout> about = {{"review", ReviewAbout::everything},
                                                          {"review areas", ReviewAbout::areas},
                                                          {"review causes", ReviewAbout::causes},
                                                          {"review time", ReviewAbout::time},
                                                          {"review numbers", ReviewAbout::numbers}};
        room.review.about = about.at(name);
        return Parsed{room.common, room.review};
    }
    room.found.told.found.insert(room.found.told.found.end(), room.signs.begin(), room.signs.end());
    const std::map<std::string, Command> commands = {
        {"ask", room.ask},
        {"open", room.open},
        {"found", room.found},
        {"next", room.next},
        {"reasons", room.reasons},
        {"did", room.did},
        {"undo", room.undo},
        {"visit", room.visit},
        {"truck", room.truck},
        {"plan", room.plan},
        {"jobs", room.jobs_list},
        {"jobs list", room.jobs_list},
        {"jobs show", room.jobs_show},
        {"kb check", room.kb_check},
        {"jobs correct", room.jobs_correct},
        {"jobs reopen", room.jobs_reopen},
        {"ledger verify", LedgerVerifyCommand{}},
        {"ledger backup", room.ledger_backup},
        {"ledger export", room.ledger_export},
        {"ledger import", room.ledger_import},
        {"ledger merge", room.ledger_merge},
        {"ledger demo", room.ledger_demo},
        {"kb show", room.kb_show},
        {"kb graph", room.kb_graph},
        {"kb practice", KbPracticeCommand{}},
        {"kb learn", room.kb_learn},
    };
    return Parsed{room.common, commands.at(name)};
}

}  // namespace

std::variant<Parsed, Help, BadUsage> parse_command_line(const std::vector<std::string>& arguments) {
    if (auto bad = against_empty(arguments))
        return *std::move(bad);
    Room room;
    CLI::App root("What is most likely wrong with a private water well, and the cheapest\n"
                  "safe next check. It suggests and can be wrong; local code, the plates on\n"
                  "the equipment and licensed practice overrule it.",
                  "knockwell");
    root.get_formatter()->column_width(name_column);
    root.set_version_flag("--version", std::string("knockwell ") + KNOCKWELL_VERSION,
                          "Print the version");
    root.footer("Example:\n  knockwell ask --says pulsing");
    root.require_subcommand(1);
    add_commands(root, room);
    try {
        std::vector<std::string> backwards(arguments.rbegin(), arguments.rend());
        root.parse(std::move(backwards));
    } catch (const CLI::CallForHelp&) {
        return Help{root.help()};
    } catch (const CLI::CallForVersion& version) {
        return Help{std::string(version.what()) + "\n"};
    } catch (const CLI::ParseError& error) {
        return explained(root, error);
    }
    if (auto bad = against_empty(root))
        return *std::move(bad);
    return chosen(root, room);
}

}  // namespace knockwell
