/** The health screen as it is sent: the answers that apply, and where those that were confirmed come from. */
import type { CommandArgs } from "../../domain/commands";
import type { BookJson, SaidBefore } from "../../domain/screening";
import { judge } from "../../domain/screening";
import { answersThatApply, readable } from "../../parts/questions/steps";
import type { ClientFile } from "../client/file";
import { judgeTogether } from "../client/judge-together";
import { stopping } from "../outcome/stopping";
import type { ScreenForm } from "./form";

type Answered = Pick<
  CommandArgs["record_screen"],
  "answers" | "shown_outcome" | "from_screen" | "confirmed"
>;

export function answered(
  book: BookJson,
  file: ClientFile,
  form: Pick<ScreenForm, "answers" | "confirmed">,
  said: SaidBefore | null,
): Answered & { stops: boolean } {
  const told = readable(book, "health", form.answers);
  const answers = answersThatApply(book, "health", told, {}, file.age);
  // With the feet as they were last seen: the two together may call for a referral at once.
  const checks = file.checks.map(({ row }) => row);
  const shown =
    judgeTogether(book, [{ answers }], checks, file.age) ?? judge(book, answers, [], file.age);
  return {
    answers,
    shown_outcome: shown.outcome,
    from_screen: said?.from ?? null,
    confirmed: form.confirmed.filter((id) => id in answers).sort(),
    stops: stopping(shown.fired, file.cleared).length > 0,
  };
}
