/** The waiting list, live, with what this phone knows of the days of those who make the visits. */
import { fromStore } from "svelte/store";
import { ticking } from "../../parts/ticking";
import { store } from "../../store";
import type { Id } from "../../wire/types";
import { dayKey } from "../../words/format";
import type { Known } from "../booking/against";
import { knownHere } from "../booking/doubts.svelte";
import { residentStatesNow } from "../client/resident-states.svelte";
import {
  type Freed,
  freeTimes,
  type FreeTime,
  type Offer,
  offersFor,
  waitingList,
  type Waits,
} from "./waits";

const MINUTE_MS = 60_000;

export interface ListNow {
  /** Null until it is read. */
  readonly list: readonly Waits[] | null;
  /** Of a client who waits. */
  of(client: Id | undefined): Waits | undefined;
  /** `bookings` as they stand once a change that is being made has been made. */
  offers(freed: Freed, bookings?: Known["bookings"]): Offer[];
  freeTimes(waits: Waits): FreeTime[];
}

export function listNow(): ListNow {
  const session = fromStore(store.session);
  const entries = fromStore(store.rows.live("waiting"));
  const clients = fromStore(store.rows.live("client"));
  const bookings = fromStore(store.rows.live("booking"));
  const staff = fromStore(store.rows.live("staff"));
  const knownNow = knownHere();
  const toldOf = residentStatesNow();
  const now = ticking(MINUTE_MS);

  const known = $derived(knownNow());
  const list = $derived.by(() => {
    const [cards, stand] = [clients.current, bookings.current];
    if (entries.current === null || cards === null || stand === null) return null;
    const dueLast = (client: Waits["client"]) => toldOf(client).due?.last ?? null;
    return waitingList(
      entries.current,
      { clients: cards, bookings: stand },
      dueLast,
      dayKey(now()),
    );
  });
  // Kept live, since a tap asks for offers where nothing on screen has read them.
  $effect(() => {
    follow(list, known);
  });
  /** An owner's phone has all visits, a technician's their own, a coordinator's only those of residents. */
  const knowsDayOf = (who: Id) => {
    const me = session.current.staff;
    return me?.role === "owner" || (me?.role === "technician" && me.id === who);
  };

  return {
    get list() {
      return list;
    },
    of(client) {
      return list?.find((each) => each.client.id === client && each.standing === "waits");
    },
    offers(freed, stand = known.bookings) {
      const held = { ...known, bookings: stand };
      return offersFor(freed, list ?? [], held, knowsDayOf(freed.staff), now());
    },
    freeTimes(waits) {
      const people = (staff.current ?? []).filter(
        ({ id, row }) => row.role !== "coordinator" && !row.ended && knowsDayOf(id),
      );
      return freeTimes(
        waits,
        people.map(({ id }) => id),
        known,
        now(),
      );
    },
  };
}

/** To read them is all: what nobody reads is not kept up to date. */
function follow(...read: readonly unknown[]): number {
  return read.length;
}
