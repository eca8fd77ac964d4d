/** Sends the outbox, oldest first. What the server has answered leaves it together with the receipt. */
import type { Credentials, Http } from "../wire/http";
import type { Command } from "../wire/types";
import { type HeldCommand, readBatch, settle } from "./commands";
import { readProgress, writeStrictly } from "./db";
import { Fault } from "./fault";
import type { Phone } from "./phone";
import { putBack } from "./restored";

/** Pushes until the outbox is empty. `settled` is told after each batch that is on disk. */
export async function push(
  phone: Phone,
  http: Http,
  as: Credentials,
  settled: () => Promise<void>,
): Promise<void> {
  for (;;) {
    const batch = await readBatch(phone);
    if (batch.length === 0) return;
    const { results, next_seq } = await http.push(as, batch.map(toSend));
    const answered = await settle(phone, batch, results);
    // Nothing but held back: either earlier ones are here and wanted again, or asking again is of no use now.
    if (answered === 0 && !(await wantedAgain(phone, next_seq))) throw new Fault("server_trouble");
    await settled();
  }
}

function wantedAgain(phone: Phone, next_seq: number): Promise<boolean> {
  return writeStrictly(phone.db, ["outbox", "settled", "meta"], async (tx) =>
    putBack(tx, next_seq, await readProgress(tx)),
  );
}

function toSend({ id, seq, name, args, made_at, rulebook }: HeldCommand): Command {
  return { id, seq, name, args, made_at, rulebook };
}
