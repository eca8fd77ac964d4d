/** Refused commands, with everything that was typed, until a person has dealt with them. */
import { type Readable, writable } from "svelte/store";

import type { CommandName } from "../domain/commands";
import type { Id } from "../wire/types";
import type { AttentionApi, AttentionItem } from "./api";
import type { HeldCommand } from "./commands";
import type { Drafts } from "./drafts";
import type { Phone } from "./phone";
import { dealWith } from "./receipts";

export class Attention implements AttentionApi {
  readonly #phone: Phone;
  readonly #drafts: Drafts;
  readonly #items = writable<readonly AttentionItem[]>([]);
  readonly subscribe: Readable<readonly AttentionItem[]>["subscribe"] = this.#items.subscribe;
  readonly #changed: () => Promise<void>;
  #shown: readonly AttentionItem[] = [];

  constructor(phone: Phone, drafts: Drafts, changed: () => Promise<void>) {
    this.#phone = phone;
    this.#drafts = drafts;
    this.#changed = changed;
  }

  show(refused: readonly HeldCommand[]): void {
    this.#shown = refused.flatMap(({ id, name, args, made_at, rulebook, refusal }) =>
      refusal === null ? [] : [{ id, name: name as CommandName, args, made_at, rulebook, refusal }],
    );
    this.#items.set(this.#shown);
  }

  async dismiss(command: Id): Promise<void> {
    const item = this.#shown.find(({ id }) => id === command);
    const photo = item?.name === "record_photo" ? item.args["photo"] : undefined;
    await dealWith(this.#phone, command, typeof photo === "string" ? photo : null);
    await this.#changed();
  }

  async useAgain(command: Id): Promise<string> {
    const item = this.#shown.find(({ id }) => id === command);
    const key = `again/${item?.name ?? "unknown"}/${command}`;
    if (item === undefined) return key;
    // First the draft, then the list: a crash between the two shows it twice and never not at all.
    this.#drafts.save(key, item.args);
    await this.#drafts.flush();
    await this.dismiss(command);
    return key;
  }
}
