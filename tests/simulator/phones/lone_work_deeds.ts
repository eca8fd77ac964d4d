/** What is entered of working alone. */
import type { Held } from "../../../pwa/src/store/api";
import type { Form, Hand } from "./hand";

const HOUR_MS = 3_600_000;

function hoursOn(hand: Hand, hours: number): string {
  return new Date(Date.parse(hand.time()) + hours * HOUR_MS).toISOString();
}

async function ownWatches(hand: Hand): Promise<Held<"watch">[]> {
  return (await hand.rows("watch")).filter(
    ({ row }) => row.staff === hand.staff,
  );
}

export function startWatch(hand: Hand): Promise<Form> {
  const tell = { tell_name: "Noa Next-door", tell_email: "noa@next-door.test" };
  return Promise.resolve({
    watch: hand.id(),
    back_by: hoursOn(hand, 2),
    reach_at: "",
    ...tell,
  });
}

export async function moveWatch(hand: Hand): Promise<Form | null> {
  const all = await ownWatches(hand);
  return all.length === 0
    ? null
    : { watch: hand.one(all).id, back_by: hoursOn(hand, 3) };
}

export async function endWatch(hand: Hand): Promise<Form | null> {
  const all = await ownWatches(hand);
  return all.length === 0 ? null : { watch: hand.one(all).id };
}

/** A new one, or the renewal of one. */
export async function recordPaper(hand: Hand): Promise<Form> {
  const own = (await hand.rows("paper")).filter(
    ({ row }) => row.staff === hand.staff,
  );
  const before = own.length > 0 && hand.number(2) === 0 ? hand.one(own) : null;
  return {
    paper: before?.id ?? hand.id(),
    seen: before?.version ?? null,
    staff: hand.staff,
    what: before?.row.what ?? hand.one(["licence", "insurance", "first_aid"]),
    name: "Invented paper",
    number: "",
    expires_on: hand.time().slice(0, 10),
  };
}

export async function removePaper(hand: Hand): Promise<Form | null> {
  const own = (await hand.rows("paper")).filter(
    ({ row }) => row.staff === hand.staff,
  );
  return own.length === 0 ? null : { paper: hand.one(own).id };
}
