/** What the rulebook makes of the screens and foot checks of one client that stand together. */
import type { Answers, Finding } from "../../domain/findings";
import { InvalidAnswers, join, judge, type BookJson, type Judgement } from "../../domain/screening";

/** Of more pairs of a screen and a foot check the newest are judged; the client is held until asked again. */
const MOST_TOGETHER = 8;

interface Asked {
  answers: Answers;
}
interface Looked extends Asked {
  findings: readonly Finding[];
}

/** The worse of what each screen comes to with each foot check; null where there is no screen or none is read. */
export function judgeTogether(
  book: BookJson,
  screens: readonly Asked[],
  checks: readonly Looked[],
  age: number,
): Judgement | null {
  const looked = checks.length > 0 ? checks : [null];
  const pairs = screens.flatMap((screen) => looked.map((check) => [screen, check] as const));
  const [first, ...others] = pairs
    .slice(0, MOST_TOGETHER)
    .flatMap(([screen, check]) => judgeRecords(book, screen, check, age) ?? []);
  if (first === undefined) return null;
  const joined = join(book, [first, ...others]);
  return { ...joined, held: joined.held || others.length + 1 < pairs.length };
}

/** What one screen comes to with one foot check, or with none; null where this edition cannot read them. */
export function judgeRecords(
  book: BookJson,
  screen: Asked,
  check: Looked | null,
  age: number,
): Judgement | null {
  const part = new Map(
    book.groups.flatMap((group) => group.questions.map(({ id }) => [id, group.part])),
  );
  // Neither can take back what the other says: each answers its own questions alone.
  const of = (answers: Answers, wanted: string) =>
    Object.entries(answers).filter(([id]) => part.get(id) === wanted);
  const answers = Object.fromEntries([
    ...of(screen.answers, "health"),
    ...of(check?.answers ?? {}, "foot"),
  ]);
  try {
    return judge(book, answers, check?.findings ?? [], age);
  } catch (error) {
    // Asked by another edition than the phone has now: the questions are open again.
    if (error instanceof InvalidAnswers) return null;
    throw error;
  }
}
