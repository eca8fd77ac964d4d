/** The clients to ask about, live; and what was kept, sealed on this phone as a draft is. */
import { fromStore } from "svelte/store";
import { SvelteMap } from "svelte/reactivity";
import { ticking } from "../../parts/ticking";
import { store } from "../../store";
import { absentClients, keptBy, stillAsks, type Absent, type Kept } from "./kept";

const MINUTE_MS = 60_000;
/** Null while it is being read. Shared by the list and the count in the bar below. */
const kept = new SvelteMap<string, Kept | null | undefined>();
const key = (client: string) => `kept/${client}`;

export function absentNow(): { readonly list: readonly Absent[] } {
  const clients = fromStore(store.rows.live("client"));
  const bookings = fromStore(store.rows.live("booking"));
  const now = ticking(MINUTE_MS);
  const absent = $derived(absentClients(clients.current ?? [], bookings.current ?? [], now()));

  $effect(() => {
    for (const { client } of absent) if (!kept.has(client.id)) void read(client.id);
  });

  const list = $derived(
    absent.filter((each) => {
      const said = kept.get(each.client.id);
      return said !== null && stillAsks(each, said);
    }),
  );
  return {
    get list() {
      return list;
    },
  };
}

async function read(client: string): Promise<void> {
  kept.set(client, null);
  const said = await store.drafts.load(key(client)).catch(() => null);
  kept.set(client, (said as Kept | null) ?? undefined);
}

export async function keep(absent: Absent): Promise<void> {
  store.drafts.save(key(absent.client.id), keptBy(absent));
  await store.drafts.flush();
  kept.set(absent.client.id, keptBy(absent));
}
