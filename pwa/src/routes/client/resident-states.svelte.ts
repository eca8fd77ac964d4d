/** How it stands with each resident, live: on a coordinator's phone by what it was told, on others by the records. */
import { fromStore } from "svelte/store";
import type { BookJson } from "../../domain/screening";
import { store, type Held } from "../../store";
import { byClient } from "../due/due-list";
import { type Told, toldBy, toldFrom } from "./resident-states";

export function residentStatesNow(): (client: Held<"client">) => Told {
  const { rows } = store;
  const session = fromStore(store.session);
  const rulebook = fromStore(store.rulebook);
  const told = fromStore(rows.live("resident_state"));
  const consents = fromStore(rows.live("consent"));
  const choices = fromStore(rows.live("consent_choice"));
  const screens = fromStore(rows.live("health_screen"));
  const visits = fromStore(rows.live("visit"));

  const coordinator = $derived(session.current.staff?.role === "coordinator");
  const book = $derived(rulebook.current as unknown as BookJson | null);
  const toldOf = $derived(byClient(told.current ?? []));
  const consentsOf = $derived(byClient(consents.current ?? []));
  const choicesOf = $derived(byClient(choices.current ?? []));
  const screensOf = $derived(byClient(screens.current ?? []));
  const visitsOf = $derived(byClient(visits.current ?? []));

  return ({ id, row }) => {
    if (coordinator || book === null)
      return toldBy(toldOf.get(id)?.[0]?.row, consentsOf.get(id) ?? []);
    const said = [...(consentsOf.get(id) ?? []), ...(choicesOf.get(id) ?? [])];
    const records = { screens: screensOf.get(id) ?? [], said, visits: visitsOf.get(id) ?? [] };
    return toldFrom(records, row, book, store.now());
  };
}
