/** Stops the visit that is under way: its form says why, and sign-off takes it from there. */
import { store } from "../../store";
import type { Id } from "../../wire/types";
import { blankVisit, type VisitForm } from "./form";

export async function endEarly(booking: Id, why: string): Promise<void> {
  const key = `visit/${booking}`;
  const kept = (await store.drafts.load(key)) as Partial<VisitForm> | null;
  const before = kept?.ended_early ?? "";
  const ended_early = before === "" ? why : before;
  store.drafts.save(key, { ...blankVisit(), ...kept, ended_early });
  await store.drafts.flush();
}
