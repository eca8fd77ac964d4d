/** Sends the outbox, oldest first. What the server has answered leaves it together with the receipt. */
import type { Credentials, Http } from "../wire/http";
import type { Command, PushReply } from "../wire/types";
import { type HeldCommand, type NumberedCommand, readBatch, renumberOutbox } from "./commands";
import { putMeta, readProgress, type Tx, writeStrictly } from "./db";
import { Fault } from "./fault";
import type { Phone } from "./phone";
import { settle } from "./receipts";
import { sendAgain } from "./restored";

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
  let lost = false;
  for (;;) {
    const { batch, heard } = await readBatch(phone);
    if (batch.length === 0) return;
    const reply = await http.push(as, batch.map(toSend), heard);
    if (reply.lost) {
      // A server that does not know what it has just said is asked again later, not at once.
      if (lost) throw new Fault("server_trouble");
      lost = true;
      await renumbered(phone, reply, sendAgain);
      await hooks.wantedAgain();
      continue;
    }
    const answered = await settle(phone, batch, reply);
    hooks.answered(answered);
    if (answered.length > 0) continue;
    // The numbers do not meet, though nothing was lost. The next round sends them as the server wants them.
    await renumbered(phone, reply, renumberOutbox);
    await hooks.wantedAgain();
    throw new Fault("server_trouble");
  }
}

/** Counts the outbox from the server's next number on, unless this phone has become another device since. */
function renumbered(
  phone: Phone,
  { device, next_seq, heard }: PushReply,
  renumber: (tx: Tx, next_seq: number) => Promise<number>,
): Promise<void> {
  return writeStrictly(
    phone.db,
    ["outbox", "settled", "set_aside", "pictures", "meta"],
    async (tx) => {
      const progress = await readProgress(tx);
      if (progress.device !== device) throw new Fault("not_signed_in");
      const numbered_after = await renumber(tx, next_seq);
      await putMeta(tx, "progress", { ...progress, numbered_after, heard });
    },
  );
}

function toSend({ id, seq, name, args, made_at, rulebook }: NumberedCommand): Command {
  return { id, seq, name, args, made_at, rulebook };
}
