#include "cli/command_line.hpp"

#include "base/nearest.hpp"
#include "base/words.hpp"
#include "cli/page.hpp"
#include "trade/calc.hpp"

#include <CLI/CLI.hpp>

#include <algorithm>
#include <functional>
#include <utility>

namespace knockwell {
namespace {

/// Where CLI11 puts what it reads. One of each, whichever command is meant.
struct Room {
    Common common;
    AskCommand ask;
    OpenCommand open;
    FoundCommand found;
    std::vector<std::string> signs;  // of `found`, without an option before them
    NextCommand next;
    ReasonsCommand reasons;
    DidCommand did;
    UndoCommand undo;
    CloseCommand close;
    VisitCommand visit;
    TruckCommand truck;
    PlanCommand plan;
    JobsListCommand jobs_list;
    JobsShowCommand jobs_show;
    KbCheckCommand kb_check;
    JobsCorrectCommand jobs_correct;
    JobsReopenCommand jobs_reopen;
    LedgerBackupCommand ledger_backup;
    LedgerExportCommand ledger_export;
    LedgerImportCommand ledger_import;
    LedgerMergeCommand ledger_merge;
    LedgerDemoCommand ledger_demo;
    ReviewCommand review;
    KbShowCommand kb_show;
    KbGraphCommand kb_graph;
    KbLearnCommand kb_learn;
    std::map<std::string, CalcCommand> calc;
    bool cured = false;
    bool not_cured = false;
    bool handed_over = false;
};

constexpr std::size_t page_width = 79;
constexpr std::size_t name_column = 28;

/// A description that stays in its column.
std::string in_column(const std::string& says) {
    return wrap(says, page_width - name_column, 0, 0);
}

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

/// One value at each mention: a plain vector option would swallow the words after it.
void many(CLI::App& app, const std::string& name, std::vector<std::string>& into,
          const std::string& says, const std::string& shape) {
    app.add_option(name, into, in_column(says))
        ->type_name(shape)
        ->type_size(1)
        ->expected(1)
        ->allow_extra_args(false)
        ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
}

void word(CLI::App& app, const std::string& name, std::string& into, const std::string& says,
          const std::vector<std::string>& allowed) {
    app.add_option(name, into, in_column(says))
        ->type_name(CLI::detail::join(allowed, "|"))
        ->check(CLI::IsMember(allowed).description(""));
}

CLI::Option* text(CLI::App& app, const std::string& name, std::string& into,
                  const std::string& says, const std::string& shape) {
    return app.add_option(name, into, in_column(says))->type_name(shape);
}

/// The library's own check of a range lets "nan" pass, and prints its ends to six digits.
CLI::Validator between(double low, double high) {
    return {[low, high](std::string& typed) {
                double value = 0;
                const bool read = CLI::detail::lexical_cast(typed, value);
                return read && value >= low && value <= high
                           ? std::string()
                           : "Value " + typed + " not in range " + number(low) + " to " +
                                 number(high);
            },
            ""};
}

void common(CLI::App& app, Common& into) {
    app.add_flag("--json", into.json, "Print JSON");
    app.add_option("--width", into.width, "Columns of the text, 40 to 200")
        ->type_name("N")
        ->check(CLI::Range(40, 200).description(""));
    text(app, "--kb", into.kb, "Folder of the knowledge", "FOLDER");
}

void kept(CLI::App& app, Common& into, std::string* job) {
    common(app, into);
    text(app, "--ledger", into.ledger, "File of the ledger", "FILE");
    text(app, "--now", into.now, "Time of it, instead of the clock", "ISO8601");
    if (job != nullptr)
        text(app, "--job", *job, "Another job than the last one opened", "ID");
}

void most(CLI::App& app, std::size_t& into) {
    app.add_option("--most", into, "How many causes and how many steps (5)")
        ->type_name("N")
        ->check(CLI::Range(1, 100).description(""));
}

void told(CLI::App& app, Told& into, bool asked_once) {
    many(app, "--set", into.set, "Fact of the installation", "SETTING=VALUE");
    many(app, "--says", into.says, "What the customer reports", "SIGN[=VALUE]");
    many(app, "--found", into.found, "What was found", "SIGN[=VALUE][@TEST]");
    word(app, "--who", into.who, "Who is there (owner)", {"owner", "helper", "qualified"});
    many(app, "--licence", into.licences, "Licence of who is there",
         "electrician|pump-installer|...");
    app.add_flag("--on-site", into.on_site, "Not on the phone (any more, or again)");
    many(app, "--at", into.at, "Where one stands, or what is open", "ACCESS");
    word(app, "--power", into.power, "off = off, locked and proved dead on every leg",
         {"on", "off"});
    word(app, "--pressure", into.pressure, "zero = an opened drain has stopped running",
         {"zero", "up"});
    word(app, "--tank", into.tank, "drained of its water or not", {"drained", "filled"});
    many(app, "--lacks", into.lacks, "Part or tool that is not on the truck", "THING");
    many(app, "--carries", into.carries, "Part or tool that is there after all", "THING");
    many(app, "--cannot", into.cannot, "Step that cannot be done here", "STEP");
    many(app, "--not-sure", into.not_sure, "Step that left one not sure", "STEP");
    if (asked_once)
        return;
    text(app, "--note", into.note, "Words to keep with the job", "TEXT");
    app.add_flag("--left", into.left, "Everybody left");
}

using Fill = std::function<void(CLI::App&)>;

/// A command. Its options are added when it is named: there are some hundreds in all.
void add(CLI::App& parent, const std::string& name, const std::string& says,
         const std::string& example, const Fill& fill) {
    CLI::App& app = *parent.add_subcommand(name, in_column(says));
    app.preparse_callback([&app, example, fill](std::size_t) {
        app.footer("Example:\n" + example);
        fill(app);
    });
}

void add_job_corrections(CLI::App& jobs, Room& room) {
    add(jobs, "correct", "Put right what was written down, of a closed job too",
        "  knockwell jobs correct 4f1c --entry 4 --value 12psi@read-gauge",
        [&room](CLI::App& correct) {
            JobsCorrectCommand& into = room.jobs_correct;
            text(correct, "ID", into.job, "Beginning of its identifier", "")->required();
            CLI::Option* entry = correct.add_option("--entry", into.entry, "Number in jobs show")
                                     ->type_name("N")
                                     ->check(CLI::Range(1, 1000000).description(""));
            text(correct, "--value", into.value, "What the entry should have been", "VALUE")
                ->needs(entry);
            correct.add_option("--minutes", into.minutes, "How long the entry took")
                ->type_name("N")
                ->check(between(0.0, 10000.0))
                ->needs(entry);
            correct.add_flag("--take-back", into.take_back, "The entry does not hold")
                ->needs(entry);
            text(correct, "--area", into.area, "Code of the area", "CODE");
            text(correct, "--installation", into.installation, "Code of the house", "CODE");
            text(correct, "--call-back-of", into.call_back_of,
                 "The earlier job whose trouble is back", "ID");
            correct.add_flag("--no-call-back", into.no_call_back, "It is no call-back")
                ->excludes("--call-back-of");
            many(correct, "--cause", into.causes, "Confirmed, and how",
                 "CAUSE=seen|fixed-it|guessed");
            text(correct, "--note", into.note, "Words to keep with the job", "TEXT");
            kept(correct, room.common, nullptr);
        });

    add(jobs, "reopen", "Go on with a closed job", "  knockwell jobs reopen 4f1c",
        [&room](CLI::App& reopen) {
            text(reopen, "ID", room.jobs_reopen.job, "Beginning of its identifier", "")->required();
            text(reopen, "--note", room.jobs_reopen.note, "Words to keep with the job", "TEXT");
            kept(reopen, room.common, nullptr);
        });
}

void add_job_commands(CLI::App& root, Room& room) {
    add(root, "ask", "Rank causes and next steps; keep nothing",
        "  knockwell ask --set pump=submersible --says pulsing \\\n"
        "      --found system-pressure=38psi@read-gauge --who qualified",
        [&room](CLI::App& ask) {
            told(ask, room.ask.told, true);
            most(ask, room.ask.most);
            common(ask, room.common);
        });

    add(root, "open", "Open a job in the ledger, then answer as ask does",
        "  knockwell open --area heron-bottom --installation HB-17 \\\n"
        "      --set pump=submersible --says no-water",
        [&room](CLI::App& open) {
            text(open, "--area", room.open.area, "Code of the area", "CODE")->required();
            text(open, "--installation", room.open.installation,
                 "Code of the house; no name, no address", "CODE")
                ->required();
            text(open, "--call-back-of", room.open.call_back_of,
                 "The earlier job whose trouble is back", "ID");
            told(open, room.open.told, false);
            most(open, room.open.most);
            kept(open, room.common, nullptr);
        });

    add(root, "found", "Add what was found to the job, then answer",
        "  knockwell found system-pressure=12psi@read-gauge --who helper",
        [&room](CLI::App& found) {
            // Words without an option before them end at the next option, so these may be many.
            found.add_option("SIGN", room.signs, in_column("What was found; several at once"))
                ->type_name("");
            told(found, room.found.told, false);
            most(found, room.found.most);
            kept(found, room.common, &room.found.job);
        });

    add(root, "next", "Answer for the job as it stands", "  knockwell next",
        [&room](CLI::App& next) {
            most(next, room.next.most);
            kept(next, room.common, &room.next.job);
        });

    add(root, "reasons", "Tell what speaks for and against a cause, or what a look would change",
        "  knockwell reasons failed-bladder\n  knockwell reasons read-gauge",
        [&room](CLI::App& reasons) {
            text(reasons, "WHAT", room.reasons.cause,
                 "A cause, or a test, symptom or setting; without one, the three first causes", "");
            kept(reasons, room.common, &room.reasons.job);
        });

    add(root, "did", "Write down a repair (or a test) that was done",
        "  knockwell did clear-switch-port --minutes 25", [&room](CLI::App& did) {
            text(did, "REPAIR", room.did.what, "Identifier or a piece of the title", "")
                ->required();
            did.add_option("--minutes", room.did.minutes, "How long it took")
                ->type_name("N")
                ->check(between(0.0, 10000.0));
            text(did, "--note", room.did.note, "Words to keep with the job", "TEXT");
            most(did, room.did.most);
            kept(did, room.common, &room.did.job);
        });

    add(root, "undo", "Take back one entry of the job", "  knockwell undo 4",
        [&room](CLI::App& undo) {
            undo.add_option("NUMBER", room.undo.number,
                            "Number of the entry; without one, the last")
                ->type_name("")
                ->check(CLI::Range(1, 1000000).description(""));
            most(undo, room.undo.most);
            kept(undo, room.common, &room.undo.job);
        });

    add(root, "close", "Close the job, when what must be true by then is said line by line",
        "  knockwell close --checked covers,valves,power --as-left cut-in=38psi\n"
        "  knockwell close --cured --cause plugged-switch-port=seen \\\n"
        "      --without 'amps=no clamp meter on the truck'",
        [&room](CLI::App& close) {
            close.add_flag("--cured", room.cured, "The trouble is gone, and it was watched");
            close.add_flag("--not-cured", room.not_cured, "It is not gone");
            close.add_flag("--handed-over", room.handed_over, "Somebody else goes on");
            many(close, "--cause", room.close.causes, "Confirmed, and how",
                 "CAUSE=seen|fixed-it|guessed");
            many(close, "--as-left", room.close.left,
                 "Reading as it is left: cut-in, cut-out, precharge, amps, leak-down, volts, flow "
                 "or a sign",
                 "WHAT=VALUE");
            many(close, "--checked", room.close.checked,
                 "Lines of the list that are so, by their words", "WORD[,WORD]");
            many(close, "--not-here", room.close.not_here, "Lines that do not apply here",
                 "WORD[,WORD]");
            many(close, "--without", room.close.without,
                 "Lines that are left as they are, and why; it is kept", "WORD[,WORD]=WHY");
            text(close, "--despite", room.close.despite,
                 "A stop stands: who knows of it, and what is off. Not with --cured", "WHY");
            text(close, "--note", room.close.note, "Words to keep with the job", "TEXT");
            kept(close, room.common, &room.close.job);
        });

    add(root, "visit", "Be guided through the job, answering by number",
        "  knockwell visit\n  knockwell visit --area heron-bottom --installation HB-17",
        [&room](CLI::App& visit) {
            CLI::Option* area =
                text(visit, "--area", room.visit.area, "Begin a new job there", "CODE");
            CLI::Option* house = text(visit, "--installation", room.visit.installation,
                                      "Code of the house; no name, no address", "CODE");
            area->needs(house);
            house->needs(area);
            text(visit, "--call-back-of", room.visit.call_back_of,
                 "The earlier job whose trouble is back", "ID")
                ->needs(area);
            kept(visit, room.common, &room.visit.job);
        });

    add(root, "truck", "Whether to roll, what the truck should carry, what to do on arrival",
        "  knockwell truck\n  knockwell truck --says no-water --set pump=submersible",
        [&room](CLI::App& truck) {
            told(truck, room.truck.told, true);
            truck
                .add_option(
                    "--cover", room.truck.cover,
                    in_column("Percent of what would be repaired that the parts cover (90)"))
                ->type_name("PERCENT")
                ->check(between(1.0, 100.0));
            kept(truck, room.common, &room.truck.job);
        });

    add(root, "plan", "Print what to do from here on, on one page",
        "  knockwell plan --says no-water --set pump=submersible --who qualified\n"
        "  knockwell plan --says no-water --html > no-water.html",
        [&room](CLI::App& plan) {
            told(plan, room.plan.told, true);
            plan.add_option("--depth", room.plan.depth, "Steps one after the other (4)")
                ->type_name("N")
                ->check(CLI::Range(1, 8).description(""));
            plan.add_option("--steps", room.plan.steps, "Steps on the page in all (8)")
                ->type_name("N")
                ->check(CLI::Range(1, 60).description(""));
            plan.add_flag("--html", room.plan.html, "As a page for a printer");
            kept(plan, room.common, &room.plan.job);
        });
}

void add_job_list_commands(CLI::App& jobs, Room& room) {
    kept(jobs, room.common, nullptr);
    jobs.require_subcommand(0, 1);
    add(jobs, "list", "The jobs, newest first", "  knockwell jobs list", [&room](CLI::App& list) {
        list.add_option("--most", room.jobs_list.most, "How many (50)")
            ->type_name("N")
            ->check(CLI::Range(1, 100000).description(""));
        text(list, "--installation", room.jobs_list.installation, "Only those of this one", "CODE");
        kept(list, room.common, nullptr);
    });

    add(jobs, "show", "Everything written down about a job", "  knockwell jobs show 4f1c",
        [&room](CLI::App& show) {
            text(show, "ID", room.jobs_show.job,
                 "Beginning of its identifier; without one, the open one", "");
            kept(show, room.common, nullptr);
        });
    add_job_corrections(jobs, room);
}

void add_ledger_commands(CLI::App& ledger, Room& room) {
    ledger.require_subcommand(1);
    add(ledger, "verify", "Read every row and every page", "  knockwell ledger verify",
        [&room](CLI::App& verify) { kept(verify, room.common, nullptr); });

    add(ledger, "backup", "Copy the ledger as it is at this moment",
        "  knockwell ledger backup ledger-2026-11-25.sqlite", [&room](CLI::App& backup) {
            text(backup, "FILE", room.ledger_backup.file, "The copy; it must not be there yet", "")
                ->required();
            kept(backup, room.common, nullptr);
        });

    add(ledger, "export", "Write every job as a line of JSON",
        "  knockwell ledger export jobs.jsonl", [&room](CLI::App& out) {
            text(out, "FILE", room.ledger_export.file,
                 "It must not be there yet; without one, print", "");
            out.add_flag("--csv", room.ledger_export.csv,
                         in_column("A row of a spreadsheet for each job, in short"));
            kept(out, room.common, nullptr);
        });

    add(ledger, "import", "Take jobs in, all of them or none",
        "  knockwell ledger import jobs.jsonl\n"
        "  knockwell ledger import jobs.csv --map columns.toml",
        [&room](CLI::App& in) {
            text(in, "FILE", room.ledger_import.file, "What export wrote, or a spreadsheet as CSV",
                 "")
                ->required();
            text(in, "--map", room.ledger_import.map, "What the columns of the CSV are", "TOML");
            kept(in, room.common, nullptr);
        });

    add(ledger, "merge", "Take in the jobs of other ledgers",
        "  knockwell ledger merge truck-2.sqlite", [&room](CLI::App& merge) {
            merge
                .add_option("FILE", room.ledger_merge.files,
                            in_column("Ledgers; they are only read"))
                ->type_name("")
                ->required();
            kept(merge, room.common, nullptr);
        });

    add(ledger, "demo", "Print the jobs of a made-up shop, for a trial",
        "  knockwell ledger demo --jobs 3000 --seed 1 > demo.jsonl\n"
        "  knockwell ledger import demo.jsonl --ledger demo.sqlite",
        [&room](CLI::App& demo) {
            demo.add_option("--jobs", room.ledger_demo.jobs, "How many (3000)")
                ->type_name("N")
                ->check(CLI::Range(1, 10000000).description(""));
            demo.add_option("--seed", room.ledger_demo.seed, "Another shop for each (1)")
                ->type_name("N");
            common(demo, room.common);
        });
}

void review_options(CLI::App& app, Room& room, const std::string& name) {
    app.add_option("--most", room.review.most, "How many are told (10)")
        ->type_name("N")
        ->check(CLI::Range(1, 100000).description(""));
    if (name != "causes")
        app.add_option("--chance", room.review.false_share,
                       in_column("Of what is named, the share that may be chance (0.1)"))
            ->type_name("SHARE")
            ->check(between(0.0001, 1.0));
    if (name == "numbers" || name.empty())
        app.add_option("--jobs", room.review.told_again,
                       in_column("How many jobs are told again, drawn evenly (3000)"))
            ->type_name("N")
            ->check(CLI::Range(1, 10000000).description(""));
    text(app, "--since", room.review.since, "Only jobs opened from this day on", "YYYY-MM-DD");
    CLI::Option* html = text(app, "--html", room.review.html,
                             "Write a page for a browser; it must not be there yet", "FILE");
    if (name == "areas" || name.empty())
        text(app, "--places", room.review.places,
             "Where the areas lie, for a map on the page: area,east,north", "CSV")
            ->needs(html);
    kept(app, room.common, nullptr);
}

void add_review_commands(CLI::App& review, Room& room) {
    review.require_subcommand(0, 1);
    review_options(review, room, "");
    const auto question = [&](const std::string& name, const std::string& says) {
        add(review, name, says, "  knockwell review " + name + " --most 5",
            [&room, name](CLI::App& app) { review_options(app, room, name); });
    };
    question("areas",
             "Causes that recur in one area more than chance and its installations explain");
    question("causes", "Cause by cause: jobs, houses, call-backs, minutes");
    question("time", "Causes that rise, keep to a season, or broke out");
    question("numbers", "The knowledge's chances, guesses and minutes against the jobs");
}

void add_kb_commands(CLI::App& kb, Room& room) {
    kb.require_subcommand(1);
    add(kb, "check", "Report everything that is wrong with the knowledge",
        "  knockwell kb check --kb kb", [&room](CLI::App& check) {
            check.add_flag("--sources", room.kb_check.sources, "Say where the strengths come from");
            common(check, room.common);
        });

    add(kb, "show", "Show one definition, or what there is",
        "  knockwell kb show plugged-switch-port", [&room](CLI::App& show) {
            text(show, "NAME", room.kb_show.name, "Identifier or a piece of the title", "");
            common(show, room.common);
        });

    add(kb, "graph", "Draw causes and signs in the language of Graphviz",
        "  knockwell kb graph plugged-switch-port | dot -Tsvg > port.svg",
        [&room](CLI::App& graph) {
            text(graph, "CAUSE", room.kb_graph.cause, "Only what touches this cause", "");
            common(graph, room.common);
        });

    add(kb, "practice", "Run the worked cases kept with the knowledge", "  knockwell kb practice",
        [&room](CLI::App& practice) { common(practice, room.common); });

    add(kb, "learn", "What closed jobs teach the numbers, line by line",
        "  knockwell kb learn\n  knockwell kb learn --apply", [&room](CLI::App& learn) {
            learn.add_flag("--apply", room.kb_learn.apply,
                           in_column("Put the learned numbers into the knowledge"));
            learn
                .add_option("--rounds", room.kb_learn.rounds,
                            in_column("How often the jobs are gone over, at most (60)"))
                ->type_name("N")
                ->check(CLI::Range(1, 1000).description(""));
            kept(learn, room.common, nullptr);
        });
}

void calculation_options(CLI::App& app, Room& room, const Computation& it) {
    CalcCommand& into = room.calc[it.name];
    into.name = it.name;
    for (const CalcInput& input : it.inputs) {
        const std::string usual = input.standard ? " (" + *input.standard + ")" : "";
        const std::string words = input.choices.empty() ? "" : ": " + list_of(input.choices, "or");
        text(app, "--" + input.name, into.inputs[input.name], input.help + usual + words,
             !input.choices.empty() ? "WORD"
             : input.unit.empty()   ? "NUMBER"
                                    : input.unit)
            ->required(!input.standard && !input.optional);
    }
    common(app, room.common);
}

void add_calculations(CLI::App& calc, Room& room) {
    calc.require_subcommand(0, 1);
    common(calc, room.common);
    for (const Computation& it : computations())
        add(calc, it.name, it.title, example_lines("knockwell calc " + it.name, it.example),
            [&room, it](CLI::App& app) { calculation_options(app, room, it); });
}

void add_commands(CLI::App& root, Room& room) {
    add_job_commands(root, room);
    add(root, "jobs", "List, show and correct the jobs of the ledger",
        "  knockwell jobs list --most 10\n  knockwell jobs show 4f1c",
        [&room](CLI::App& jobs) { add_job_list_commands(jobs, room); });
    add(root, "ledger", "The file of the jobs as a whole",
        "  knockwell ledger backup ledger-2026-11-25.sqlite",
        [&room](CLI::App& ledger) { add_ledger_commands(ledger, room); });
    add(root, "review", "What the closed jobs show; without a word more, all",
        "  knockwell review areas\n  knockwell review --html review.html",
        [&room](CLI::App& review) { add_review_commands(review, room); });
    add(root, "kb", "The curator's bench", "  knockwell kb check --kb kb",
        [&room](CLI::App& kb) { add_kb_commands(kb, room); });
    add(root, "calc", "Computations of the trade by themselves", "  knockwell calc drawdown --help",
        [&room](CLI::App& calc) { add_calculations(calc, room); });
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
        text = in_quotes(over.front()) + " is not understood here";
        near = nearest(over.front().substr(0, over.front().find('=')), words_of(app));
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

/// The first option that was given as an empty word: most often a variable of a script that was
/// never set, and then the usual would be taken for what was meant.
std::optional<BadUsage> against_empty(const CLI::App& app) {
    for (const CLI::Option* option : app.get_options())
        for (const std::string& value : option->results())
            if (value.empty())
                return BadUsage{"knockwell: " + written(*option) + ": it is empty\n"};
    for (const CLI::App* command : app.get_subcommands())
        if (auto bad = against_empty(*command))
            return bad;
    return std::nullopt;
}

/// The same of "--area=", of which the library would take the next word for the value.
std::optional<BadUsage> against_empty(const std::vector<std::string>& arguments) {
    for (const std::string& word : arguments)
        if (word.starts_with("--") && word.size() > 3 && word.find('=') == word.size() - 1)
            return BadUsage{"knockwell: " + echo(word.substr(0, word.size() - 1)) +
                            ": it is empty\n"};
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
