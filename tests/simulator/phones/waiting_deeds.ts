/** Who waits for a visit. Null where there is nobody to put on the list, or nobody on it. */
import type { Form, Hand } from "./hand";

/** A client's place on the list is changed where this phone knows of one. */
export async function waitForVisit(hand: Hand): Promise<Form | null> {
  const about = await hand.withClient({});
  const held = (await hand.rows("waiting")).find(
    ({ row }) => row.client === about?.["client"],
  );
  const wish = { last: null, times: [], minutes: 30, staff: null };
  return (
    about && {
      ...{ ...about, ...wish, first: hand.day(hand.number(60)) },
      ...{ waiting: held?.id ?? hand.id(), seen: held?.version ?? null },
      since: hand.time(),
    }
  );
}

export async function stopWaiting(hand: Hand): Promise<Form | null> {
  const waiting = await hand.rows("waiting");
  if (waiting.length === 0) return null;
  const { id, version } = hand.one(waiting);
  return { waiting: id, seen: version, code: "no_longer" };
}
