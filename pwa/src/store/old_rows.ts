/** The rows of layout 2, one box each: read where they lie until they have been moved into blocks. */
import { byKind } from "./base";
import { kindOf, openOldRow, plan, progressNow, writePlanned } from "./blocks";
import { queue } from "./db";
import type { Phone } from "./phone";

/** They come before whatever a pull brings. */
export async function moveOldRows(phone: Phone): Promise<void> {
  if ((await phone.db.count("rows")) === 0) return;
  const before = await progressNow(phone);
  const key = phone.lock.key();
  const old = await phone.db.getAll("rows");
  const rows = await Promise.all(old.map((row) => openOldRow(key, row)));
  const kinds = [...byKind(rows, kindOf)];
  const arrived = kinds.map(([kind, of]) => ({ kind, blocks: [], drop: [], rows: of }));
  await writePlanned(phone, before, await plan(phone, before.base, false, arrived), (tx) => {
    queue(tx.objectStore("rows").clear());
    return {};
  });
}
