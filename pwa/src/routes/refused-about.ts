/** Whether what an address names was to be made, or changed, by an entry that the server refused. */
import type { Params } from "../router";
import type { AttentionItem } from "../store";
import { NAMED } from "./access";

export function refusedAbout(
  refused: readonly Pick<AttentionItem, "args">[],
  params: Params,
): boolean {
  const named = NAMED.flatMap((kind) => params[kind] ?? []);
  return refused.some(({ args }) => named.some((id) => Object.values(args).includes(id)));
}
