/** The address of a client whose card was made one with another's leads to the one that stays. */
import { leadOn } from "../domain/lead-on";
import type { Params } from "../router";
import type { Held } from "../store";

export function ledOn(params: Params, clients: readonly Held<"client">[] | null): Params {
  const { client } = params;
  if (client === undefined || clients === null) return params;
  const led = leadOn(clients, client);
  return led === client ? params : { ...params, client: led };
}

/** Drafts are kept by the ids of their screen's address: these move with it, unless one is there already. */
export function movedDrafts(
  keys: readonly string[],
  from: string,
  to: string,
): { from: string; to: string }[] {
  return keys
    .filter((key) => key.split("/").includes(from))
    .map((key) => ({ from: key, to: key.replace(from, to) }))
    .filter((moved) => !keys.includes(moved.to));
}
