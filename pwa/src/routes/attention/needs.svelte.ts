/** All that needs attention, live: for the list, and for its count in the bar below, so that the two are one. */
import { fromStore } from "svelte/store";
import { endingSoon } from "../../domain/clearances";
import { missedColleagues, needsRenewal, paperStanding } from "../../domain/lone-work";
import { isDue, waitingFor } from "../../domain/mishaps";
import { ticking } from "../../parts/ticking";
import { store } from "../../store";
import { dayKey } from "../../words/format";
import { waitingNow } from "../client/waiting.svelte";
import { absentNow } from "./absent.svelte";
import { calledBack, callsBack, isApart } from "./incidents";
import { milderNow } from "./milder.svelte";

const MINUTE_MS = 60_000;

export function needsNow() {
  const attention = fromStore(store.attention);
  const session = fromStore(store.session);
  const live = {
    incident: fromStore(store.rows.live("incident")),
    clearance: fromStore(store.rows.live("clearance")),
    mishap: fromStore(store.rows.live("mishap")),
    watch: fromStore(store.rows.live("watch")),
    paper: fromStore(store.rows.live("paper")),
  };
  const absent = absentNow();
  const waiting = waitingNow();
  const milder = milderNow();
  const now = ticking(MINUTE_MS);
  const today = $derived(dayKey(now()));

  const told = $derived(milder.list.flatMap(({ own, other }) => [own.id, other.id]));
  const role = $derived(session.current.staff?.role);
  const owner = $derived(role === "owner");
  // Who has a card of their own about it need not read it twice; the owner must close it.
  const incidents = $derived(
    (live.incident.current ?? []).filter(
      ({ row }) =>
        row.closed_at === null && (owner || !isApart(row) || !told.includes(row.about_id)),
    ),
  );
  const wrong = $derived(
    waitingFor(live.mishap.current ?? [], session.current.staff, today, dayKey),
  );
  const due = $derived(wrong.filter((mishap) => isDue(mishap, today, dayKey)));
  const me = $derived(session.current.staff?.id ?? "");
  const lists = $derived({
    missed: missedColleagues(live.watch.current ?? [], me, now()),
    recalls: calledBack(incidents),
    unanswered: waiting.list,
    milder: milder.list,
    due,
    refused: attention.current,
    notDue: wrong.filter((mishap) => !due.includes(mishap)),
    absent: absent.list,
    papers: (live.paper.current ?? []).filter(({ row }) =>
      needsRenewal(paperStanding(row.expires_on, today)),
    ),
    ending: endingSoon(live.clearance.current ?? [], now().toISOString(), today),
    incidents: incidents.filter(({ row }) => !callsBack(row)),
  });

  return {
    get today() {
      return today;
    },
    get owner() {
      return owner;
    },
    /** Whether what concerns the work and the kit goes to others. */
    get partly() {
      return role === "coordinator";
    },
    get lists() {
      return lists;
    },
    get count() {
      return Object.values(lists).reduce((sum, { length }) => sum + length, 0);
    },
  };
}
