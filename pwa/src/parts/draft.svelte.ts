/** A form that is kept as it is typed: loaded when the screen opens, saved sealed on every change. */
import { store } from "../store";

export class Draft<T extends object> {
  value = $state<T | null>(null);
  readonly #key: string;
  #stop: () => void;

  constructor(key: string, blank: () => T) {
    this.#key = key;
    this.#stop = $effect.root(() => {
      $effect(() => {
        if (this.value) store.drafts.save(key, $state.snapshot(this.value));
      });
    });
    void store.drafts.load(key).then((kept) => {
      this.value = { ...blank(), ...(kept as Partial<T> | null | undefined) };
    });
  }

  /** Stop keeping it; what is on disk stays. Call it when the screen goes. */
  leave(): void {
    this.#stop();
  }

  /** It has become a command: the draft has done its work. */
  async done(): Promise<void> {
    this.leave();
    await store.drafts.drop(this.#key);
  }
}

/** A screen is made anew for each address, so the key is read once. */
export function keepDraft<T extends object>(key: () => string, blank: () => T): Draft<T> {
  const draft = new Draft<T>(key(), blank);
  $effect(() => () => {
    draft.leave();
  });
  return draft;
}
