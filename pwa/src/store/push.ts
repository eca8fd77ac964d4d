/** Sends the outbox, oldest first. What the server has answered leaves it together with the receipt. */
import type { Credentials, Http } from "../wire/http";
import type { Command } from "../wire/types";
import { type HeldCommand, type NumberedCommand, readBatch } from "./commands";
import { readProgress, writeStrictly } from "./db";
import { Fault } from "./fault";
import type { Phone } from "./phone";
import { settle } from "./receipts";
import { putBack } from "./restored";

export interface PushHooks {
  /** These have their receipts, on disk. */
  answered: (commands: readonly HeldCommand[]) => void;
  /** Settled ones are in the outbox again. */
  wantedAgain: () => Promise<void>;
}

/** Pushes until the outbox is empty. */
export async function push(
  phone: Phone,
  http: Http,
  as: Credentials,
  hooks: PushHooks,
): Promise<void> {
  for (;;) {
    const batch = await readBatch(phone);
    if (batch.length === 0) return;
    const reply = await http.push(as, batch.map(toSend));
    const answered = await settle(phone, batch, reply);
    hooks.answered(answered);
    if (answered.length > 0) continue;
    // Nothing but held back: either earlier ones are here and wanted again, or asking again is of no use now.
    if (!(await wantedAgain(phone, reply.next_seq))) throw new Fault("server_trouble");
    await hooks.wantedAgain();
  }
}

function wantedAgain(phone: Phone, next_seq: number): Promise<boolean> {
  return writeStrictly(phone.db, ["outbox", "settled", "meta"], async (tx) =>
    putBack(tx, next_seq, await readProgress(tx)),
  );
}

function toSend({ id, seq, name, args, made_at, rulebook }: NumberedCommand): Command {
  return { id, seq, name, args, made_at, rulebook };
}
