/** The contact times that run, so that every screen, and a covered phone, can show them. */
import { get } from "svelte/store";
import type { Contact } from "../../domain/kit/contact";
import { store } from "../../store";

let running = $state.raw<readonly Contact[]>([]);

export const contacts = {
  get running(): readonly Contact[] {
    return running;
  },
  /** A covered phone reads no records, so it is told beforehand. */
  tell(now: readonly Contact[]): void {
    running = now;
  },
  /** A covered phone goes on showing the time; with it locked nothing of it stays in memory. */
  forgetWhenLocked(): void {
    const { phase } = get(store.session);
    if (phase !== "unlocked" && phase !== "covered") running = [];
  },
};
