/** The client's file as a live value for a screen: null until the phone's rows and the rulebook are read. */
import { fromStore } from "svelte/store";
import type { BookJson } from "../../domain/screening";
import { ticking } from "../../parts/ticking";
import { store } from "../../store";
import { dayKey } from "../../words/format";
import { clientFile, type ClientFile, type FileKind, type FileRows } from "./file";

export interface OpenFile {
  readonly book: BookJson | null;
  /** undefined: not read yet. null: not on this phone. */
  readonly file: ClientFile | null | undefined;
}

export interface OpenFiles {
  readonly book: BookJson | null;
  of(client: string | undefined): ClientFile | null | undefined;
}

const MINUTE_MS = 60_000;

export function openFile(client: () => string | undefined): OpenFile {
  const files = openFiles();
  const file = $derived(files.of(client()));
  return {
    get book() {
      return files.book;
    },
    get file() {
      return file;
    },
  };
}

/** The file of whichever client is asked for. */
export function openFiles(): OpenFiles {
  const { rows } = store;
  const book = fromStore(store.rulebook);
  const live = {
    client: fromStore(rows.live("client")),
    health_screen: fromStore(rows.live("health_screen")),
    foot_check: fromStore(rows.live("foot_check")),
    referral: fromStore(rows.live("referral")),
    clearance: fromStore(rows.live("clearance")),
    consent: fromStore(rows.live("consent")),
    consent_choice: fromStore(rows.live("consent_choice")),
    signing_offer: fromStore(rows.live("signing_offer")),
    booking: fromStore(rows.live("booking")),
    visit: fromStore(rows.live("visit")),
    mishap: fromStore(rows.live("mishap")),
  };
  // Records go out of date while a screen is open, so the file is made again each minute.
  const now = ticking(MINUTE_MS);

  return {
    get book() {
      return book.current as unknown as BookJson | null;
    },
    of(id) {
      const at = now();
      const held = book.current;
      const read = allRead(live);
      // Half-read rows would say that there is no consent, no screen, no visit.
      if (held === null || id === undefined || read === null) return undefined;
      return clientFile(held as unknown as BookJson, read, id, { at, day: dayKey(at) });
    },
  };
}

type Live = { [K in FileKind]: { readonly current: FileRows[K] | null } };

function allRead(live: Live): FileRows | null {
  const read = Object.entries(live).map(([kind, { current }]) => [kind, current] as const);
  if (read.some(([, current]) => current === null)) return null;
  return Object.fromEntries(read) as unknown as FileRows;
}
