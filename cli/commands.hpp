// cli/commands.hpp
//
// Each command, from what was typed to its exit status. Errors of the world (disk, locked ledger)
// are thrown.
#pragma once
#include "cli/command_line.hpp"
#include "cli/desk.hpp"

namespace knockwell {

[[nodiscard]] Status carry_out(const AskCommand& ask, const Desk& desk);
[[nodiscard]] Status carry_out(const OpenCommand& open, const Desk& desk);
[[nodiscard]] Status carry_out(const FoundCommand& found, const Desk& desk);
[[nodiscard]] Status carry_out(const NextCommand& next, const Desk& desk);
[[nodiscard]] Status carry_out(const ReasonsCommand& reasons, const Desk& desk);
[[nodiscard]] Status carry_out(const DidCommand& did, const Desk& desk);
[[nodiscard]] Status carry_out(const UndoCommand& undo, const Desk& desk);
[[nodiscard]] Status carry_out(const CloseCommand& close, const Desk& desk);
[[nodiscard]] Status carry_out(const VisitCommand& visit, const Desk& desk);
[[nodiscard]] Status carry_out(const TruckCommand& truck, const Desk& desk);
[[nodiscard]] Status carry_out(const PlanCommand& plan, const Desk& desk);
[[nodiscard]] Status carry_out(const JobsListCommand& list, const Desk& desk);
[[nodiscard]] Status carry_out(const JobsShowCommand& wanted, const Desk& desk);
[[nodiscard]] Status carry_out(const JobsCorrectCommand& correct, const Desk& desk);
[[nodiscard]] Status carry_out(const JobsReopenCommand& reopen, const Desk& desk);
[[nodiscard]] Status carry_out(const LedgerVerifyCommand& verify, const Desk& desk);
[[nodiscard]] Status carry_out(const LedgerBackupCommand& backup, const Desk& desk);
[[nodiscard]] Status carry_out(const LedgerExportCommand& wanted, const Desk& desk);
[[nodiscard]] Status carry_out(const LedgerImportCommand& import, const Desk& desk);
[[nodiscard]] Status carry_out(const LedgerMergeCommand& merge, const Desk& desk);
[[nodiscard]] Status carry_out(const LedgerDemoCommand& demo, const Desk& desk);
[[nodiscard]] Status carry_out(const ReviewCommand& command, const Desk& desk);
[[nodiscard]] Status carry_out(const KbCheckCommand& check, const Desk& desk);
[[nodiscard]] Status carry_out(const KbShowCommand& show, const Desk& desk);
[[nodiscard]] Status carry_out(const KbGraphCommand& graph, const Desk& desk);
[[nodiscard]] Status carry_out(const KbPracticeCommand& practice, const Desk& desk);
[[nodiscard]] Status carry_out(const KbLearnCommand& command, const Desk& desk);
[[nodiscard]] Status carry_out(const CalcCommand& calc, const Desk& desk);

}  // namespace knockwell
