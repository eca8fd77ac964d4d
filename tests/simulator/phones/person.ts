/** What a person does with a phone, apart from the entries: opens it, signs in, forgets, brings back. */
import { get } from "svelte/store";

import { Fault } from "../../../pwa/src/store/fault";
import { ground } from "./ground";
import type { Judge } from "./judge";
import type { Phone, Tab } from "./phone";

export class People {
  readonly #judge: Judge;
  readonly #say: (what: string) => void;

  constructor(judge: Judge, say: (what: string) => void) {
    this.#judge = judge;
    this.#say = say;
  }

  /** Begins something that takes its time. Only what the app has a word for may go wrong. */
  begin(tab: Tab, what: string, work: () => Promise<void>): void {
    if (tab.doing !== null) return;
    tab.doing = what;
    ground.page = tab;
    const ended = (problem: string) => {
      tab.doing = null;
      if (tab.alive) this.#say(`${tab.phone.name}: ${what}${problem}`);
    };
    work().then(
      () => {
        ended(" done");
      },
      (cause: unknown) => {
        const known = cause instanceof Fault;
        if (tab.alive && !known)
          this.#judge.breaks(0, `${what} failed: ${String(cause)}`);
        ended(` failed: ${known ? cause.code : String(cause)}`);
      },
    );
  }

  /** The next step towards work on this phone; returns the tab once it is unlocked. */
  atWork(phone: Phone): Tab | null {
    const tab = phone.tab ?? phone.open();
    if (tab.doing !== null) return null;
    const { phase } = tab;
    if (phase === "unlocked") return tab;
    // Nobody here has set a PIN.
    if (phase === "covered") tab.store.lock();
    if (phase === "locked") this.begin(tab, "unlock", () => unlock(tab));
    if (phase === "signed_out" || phase === "revoked") this.signIn(tab);
    if (phase === "choose_passphrase")
      this.begin(tab, "choose", () => this.#choose(tab));
    return null;
  }

  /** With the passphrase that is remembered: what waits on the phone goes with the new device number. */
  signIn(tab: Tab): void {
    const { email, password } = tab.phone.person;
    this.begin(tab, "sign in", () =>
      tab.store.signIn(email, password, tab.phone.name),
    );
  }

  forget(tab: Tab): void {
    const { email, password } = tab.phone.person;
    this.begin(tab, "sign in, passphrase forgotten", async () => {
      await tab.store.signIn(email, password, tab.phone.name);
      tab.store.startAnew();
      await this.#choose(tab);
    });
  }

  /** Returns whether there is anything to bring back. */
  bringBack(tab: Tab): boolean {
    // What the practice has opened is back already; forms that were begun anew since stay there.
    const aside = get(tab.store.setAside).find(
      ({ entries, opened }) => entries > 0 && !opened,
    );
    if (aside === undefined) return false;
    this.begin(tab, "bring back", () =>
      withPassphrases(tab.phone, (passphrase) =>
        tab.store.setAside.bringBack(aside.id, passphrase),
      ),
    );
    return true;
  }

  async #choose(tab: Tab): Promise<void> {
    const { phone } = tab;
    phone.passphrases.push(
      `passphrase ${phone.passphrases.length + 1} of ${phone.name}`,
    );
    await tab.store.choosePassphrase(phone.passphrase);
  }
}

function unlock(tab: Tab): Promise<void> {
  return withPassphrases(tab.phone, (passphrase) =>
    tab.store.unlock(passphrase),
  );
}

/** The newest first: a phone that died over a new passphrase may still have the one before. */
async function withPassphrases(
  phone: Phone,
  open: (passphrase: string) => Promise<void>,
): Promise<void> {
  let last: unknown = null;
  for (const passphrase of [...phone.passphrases].reverse()) {
    try {
      await open(passphrase);
      return;
    } catch (cause) {
      last = cause;
      const wrong = ["wrong_passphrase", "old_passphrase"];
      if (!(cause instanceof Fault) || !wrong.includes(cause.code)) throw cause;
    }
  }
  throw last;
}
