/**
 * Client mode: the phone is in the client's hand and shows one address only.
 * It ends when the technician has given the PIN or the passphrase, and in no other way.
 */
import { store } from "../store";

let held = $state<{ at: string; then: string } | null>(null);

export const handOver = {
  /** The address that the phone is held at, or null when the technician has it. */
  get at(): string | null {
    return held?.at ?? null;
  },
  /** `then` is where the technician lands with the phone back in hand. */
  start(then: string): void {
    held = { at: location.hash, then };
  },
  /** Covers the phone; `end` follows once the technician is back. */
  async giveBack(): Promise<void> {
    await store.drafts.flush();
    store.cover();
  },
  end(): void {
    if (held === null) return;
    location.replace(held.then);
    held = null;
  },
};
