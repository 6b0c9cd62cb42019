#include "cli/command_options.hpp"

namespace knockwell {
namespace {

void ask_options(CLI::App& ask, Room& room) {
    told_options(ask, room.ask.told, true);
    most_option(ask, room.ask.most);
    common_options(ask, room.common);
}

void open_options(CLI::App& open, Room& room) {
    text_option(open, "--area", room.open.area, "Code of the area", "CODE")->required();
    text_option(open, "--installation", room.open.installation,
                "Code of the house; no name, no address", "CODE")
        ->required();
    text_option(open, "--call-back-of", room.open.call_back_of,
                "The earlier job whose trouble is back", "ID");
    told_options(open, room.open.told, false);
    most_option(open, room.open.most);
    kept_options(open, room.common, nullptr);
}

void found_options(CLI::App& found, Room& room) {
    // Words without an option before them end at the next option, so these may be many.
    found.add_option("SIGN", room.signs, in_column("What was found; several at once"))
        ->type_name("");
    told_options(found, room.found.told, false);
    most_option(found, room.found.most);
    kept_options(found, room.common, &room.found.job);
}

void next_options(CLI::App& next, Room& room) {
    most_option(next, room.next.most);
    kept_options(next, room.common, &room.next.job);
}

void reasons_options(CLI::App& reasons, Room& room) {
    text_option(reasons, "WHAT", room.reasons.cause,
                "A cause, or a test, symptom or setting; without one, the three first causes", "");
    kept_options(reasons, room.common, &room.reasons.job);
}

void did_options(CLI::App& did, Room& room) {
    text_option(did, "REPAIR", room.did.what, "Identifier or a piece of the title", "")->required();
    minutes_option(did, room.did.minutes, "How long it took");
    text_option(did, "--note", room.did.note, "Words to keep with the job", "TEXT");
    most_option(did, room.did.most);
    kept_options(did, room.common, &room.did.job);
}

void undo_options(CLI::App& undo, Room& room) {
    whole_number_option(undo, "NUMBER", room.undo.number,
                        "Number of the entry; without one, the last", 1, 1000000)
        ->type_name("");
    most_option(undo, room.undo.most);
    kept_options(undo, room.common, &room.undo.job);
}

void close_options(CLI::App& close, Room& room) {
    close.add_flag("--cured", room.cured, "The trouble is gone, and it was watched");
    close.add_flag("--not-cured", room.not_cured, "It is not gone");
    close.add_flag("--handed-over", room.handed_over, "Somebody else goes on");
    many_option(close, "--cause", room.close.causes, "Confirmed, and how",
                "CAUSE=seen|fixed-it|guessed");
    many_option(close, "--as-left", room.close.left,
                "Reading as it is left: cut-in, cut-out, precharge, amps, leak-down, volts, flow "
                "or a sign",
                "WHAT=VALUE");
    many_option(close, "--checked", room.close.checked,
                "Lines of the list that are so, by their words", "WORD[,WORD]");
    many_option(close, "--not-here", room.close.not_here, "Lines that do not apply here",
                "WORD[,WORD]");
    many_option(close, "--without", room.close.without,
                "Lines that are left as they are, and why; it is kept", "WORD[,WORD]=WHY");
    text_option(close, "--despite", room.close.despite,
                "A stop stands: who knows of it, and what is off. Not with --cured", "WHY");
    text_option(close, "--note", room.close.note, "Words to keep with the job", "TEXT");
    kept_options(close, room.common, &room.close.job);
}

void visit_options(CLI::App& visit, Room& room) {
    CLI::Option* area =
        text_option(visit, "--area", room.visit.area, "Begin a new job there", "CODE");
    CLI::Option* house = text_option(visit, "--installation", room.visit.installation,
                                     "Code of the house; no name, no address", "CODE");
    area->needs(house);
    house->needs(area);
    text_option(visit, "--call-back-of", room.visit.call_back_of,
                "The earlier job whose trouble is back", "ID")
        ->needs(area);
    kept_options(visit, room.common, &room.visit.job);
}

void truck_options(CLI::App& truck, Room& room) {
    told_options(truck, room.truck.told, true);
    truck
        .add_option("--cover", room.truck.cover,
                    in_column("Percent of what would be repaired that the parts cover (90)"))
        ->type_name("PERCENT")
        ->check(number_between(1.0, 100.0));
    kept_options(truck, room.common, &room.truck.job);
}

void plan_options(CLI::App& plan, Room& room) {
    told_options(plan, room.plan.told, true);
    whole_number_option(plan, "--depth", room.plan.depth, "Steps one after the other (4)", 1, 8);
    whole_number_option(plan, "--steps", room.plan.steps, "Steps on the page in all (8)", 1, 60);
    plan.add_flag("--html", room.plan.html, "As a page for a printer");
    kept_options(plan, room.common, &room.plan.job);
}

void jobs_correct_options(CLI::App& correct, Room& room) {
    JobsCorrectCommand& into = room.jobs_correct;
    text_option(correct, "ID", into.job, "Beginning of its identifier", "")->required();
    CLI::Option* entry =
        whole_number_option(correct, "--entry", into.entry, "Number in jobs show", 1, 1000000);
    text_option(correct, "--value", into.value, "What the entry should have been", "VALUE")
        ->needs(entry);
    minutes_option(correct, into.minutes, "How long the entry took")->needs(entry);
    correct.add_flag("--take-back", into.take_back, "The entry does not hold")->needs(entry);
    text_option(correct, "--area", into.area, "Code of the area", "CODE");
    text_option(correct, "--installation", into.installation, "Code of the house", "CODE");
    text_option(correct, "--call-back-of", into.call_back_of,
                "The earlier job whose trouble is back", "ID");
    correct.add_flag("--no-call-back", into.no_call_back, "It is no call-back")
        ->excludes("--call-back-of");
    many_option(correct, "--cause", into.causes, "Confirmed, and how",
                "CAUSE=seen|fixed-it|guessed");
    text_option(correct, "--note", into.note, "Words to keep with the job", "TEXT");
    kept_options(correct, room.common, nullptr);
}

void jobs_reopen_options(CLI::App& reopen, Room& room) {
    text_option(reopen, "ID", room.jobs_reopen.job, "Beginning of its identifier", "")->required();
    text_option(reopen, "--note", room.jobs_reopen.note, "Words to keep with the job", "TEXT");
    kept_options(reopen, room.common, nullptr);
}

void jobs_list_options(CLI::App& list, Room& room) {
    whole_number_option(list, "--most", room.jobs_list.most, "How many (50)", 1, 100000);
    text_option(list, "--installation", room.jobs_list.installation, "Only those of this one",
                "CODE");
    text_option(list, "--area", room.jobs_list.area, "Only those of this road", "CODE");
    text_option(list, "--cause", room.jobs_list.cause, "Only those that name this cause", "CAUSE");
    text_option(list, "--repair", room.jobs_list.repair, "Only those on which this was done",
                "REPAIR");
    list.add_flag("--call-backs", room.jobs_list.call_backs, "Only call-backs of an earlier job");
    list.add_flag("--called-back", room.jobs_list.called_back,
                  "Only those that a later job is a call-back of");
    list.add_flag("--dangers", room.jobs_list.dangers,
                  in_column("Only those left or open with a danger that nothing has ended since"));
    text_option(list, "--since", room.jobs_list.since, "Only jobs opened from this day on",
                "YYYY-MM-DD");
    text_option(list, "--until", room.jobs_list.until, "Only jobs opened up to this day",
                "YYYY-MM-DD");
    kept_options(list, room.common, nullptr);
}

void jobs_show_options(CLI::App& show, Room& room) {
    text_option(show, "ID", room.jobs_show.job,
                "Beginning of its identifier; without one, the open one", "");
    kept_options(show, room.common, nullptr);
}

}  // namespace

void add_job_commands(CLI::App& root, Room& room) {
    add_command(root, room, "ask", "Rank causes and next steps; keep nothing",
                "  knockwell ask --set pump=submersible --says pulsing \\\n"
                "      --found system-pressure=38psi@read-gauge --who qualified",
                ask_options);

    add_command(root, room, "open", "Open a job in the ledger, then answer as ask does",
                "  knockwell open --area heron-bottom --installation HB-17 \\\n"
                "      --set pump=submersible --says no-water",
                open_options);

    add_command(root, room, "found", "Add what was found to the job, then answer",
                "  knockwell found system-pressure=12psi@read-gauge --who helper", found_options);

    add_command(root, room, "next", "Answer for the job as it stands", "  knockwell next",
                next_options);

    add_command(root, room, "reasons",
                "Tell what speaks for and against a cause, or what a look would change",
                "  knockwell reasons failed-bladder\n  knockwell reasons read-gauge",
                reasons_options);

    add_command(root, room, "did", "Write down a repair (or a test) that was done",
                "  knockwell did clear-switch-port --minutes 25", did_options);

    add_command(root, room, "undo", "Take back one entry of the job", "  knockwell undo 4",
                undo_options);

    add_command(root, room, "close",
                "Close the job, when what must be true by then is said line by line",
                "  knockwell close --checked covers,valves,power --as-left cut-in=38psi\n"
                "  knockwell close --cured --cause plugged-switch-port=seen \\\n"
                "      --without 'amps=no clamp meter on the truck'",
                close_options);

    add_command(root, room, "visit", "Be guided through the job, answering by number",
                "  knockwell visit\n  knockwell visit --area heron-bottom --installation HB-17",
                visit_options);

    add_command(root, room, "truck",
                "Whether to roll, what the truck should carry, what to do on arrival",
                "  knockwell truck\n  knockwell truck --says no-water --set pump=submersible",
                truck_options);

    add_command(root, room, "plan", "Print what to do from here on, on one page",
                "  knockwell plan --says no-water --set pump=submersible --who qualified\n"
                "  knockwell plan --says no-water --html > no-water.html",
                plan_options);
}

void add_job_list_commands(CLI::App& jobs, Room& room) {
    kept_options(jobs, room.common, nullptr);
    jobs.require_subcommand(0, 1);
    add_command(jobs, room, "list", "The jobs, newest first", "  knockwell jobs list",
                jobs_list_options);

    add_command(jobs, room, "show", "Everything written down about a job",
                "  knockwell jobs show 4f1c", jobs_show_options);

    add_command(jobs, room, "correct", "Put right what was written down, of a closed job too",
                "  knockwell jobs correct 4f1c --entry 4 --value 12psi@read-gauge",
                jobs_correct_options);

    add_command(jobs, room, "reopen", "Go on with a closed job", "  knockwell jobs reopen 4f1c",
                jobs_reopen_options);
}

}  // namespace knockwell
