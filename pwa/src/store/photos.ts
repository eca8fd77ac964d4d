/** The photos of this phone: taken here, or fetched to be looked at. What is sent of them is in photo_sending.ts. */
import { beyond } from "../domain/pictures";
import { type Http, HttpFault } from "../wire/http";
import type { Id } from "../wire/types";
import type { Held, Picture, PhotosApi, PhotoTold } from "./api";
import { type HeldCommand, writeCommandWith } from "./commands";
import { type StoredPicture, writeStrictly, writeUnderKey } from "./db";
import { Fault, faultOf } from "./fault";
import type { Phone } from "./phone";
import { PhotoSending, type SendingHooks } from "./photo_sending";
import {
  dropPicture,
  isUnsent,
  OpenedPicture,
  PICTURE_STORES,
  putPicture,
  sealPicture,
  sha256Of,
} from "./pictures";

export interface PhotoHooks extends SendingHooks {
  /** A photo's record is on disk, with its picture. */
  added: (command: HeldCommand) => void;
  row: (photo: Id) => Promise<Held<"photo"> | null>;
  rows: () => Promise<readonly Held<"photo">[]>;
  /** Whether the person runs the practice. */
  owns: () => boolean;
}

export class Photos implements PhotosApi {
  readonly #phone: Phone;
  readonly #http: Http;
  readonly #hooks: PhotoHooks;
  readonly #sending: PhotoSending;

  constructor(phone: Phone, http: Http, hooks: PhotoHooks) {
    [this.#phone, this.#http, this.#hooks] = [phone, http, hooks];
    this.#sending = new PhotoSending(phone, http, hooks);
  }

  /** Says anew how many are still to be sent. */
  count(): Promise<void> {
    return this.#sending.count();
  }

  /** Beside the rounds: a picture on a thin line keeps no entry waiting. */
  async send(shows: () => boolean): Promise<void> {
    try {
      await this.#sending.run();
      if (shows()) await this.#tidy();
    } catch (cause) {
      // A line that is cut is spoken of by the next round.
      if (!(cause instanceof HttpFault)) this.#phone.report(cause);
    }
  }

  /** Before the phone is wiped. Throws where the line is cut, and not where the practice takes nothing more. */
  async handIn(): Promise<void> {
    await this.#sending.run().catch((cause: unknown) => {
      if (faultOf(cause) !== "device_revoked") throw cause;
    });
  }

  async take(told: PhotoTold, picture: Picture): Promise<{ id: Id }> {
    try {
      return await this.#take(told, picture);
    } catch (cause) {
      // Copies of what the practice has make room for what nobody else has.
      if (faultOf(cause) !== "storage_full" || !(await this.#dropCopies(() => true))) throw cause;
      return this.#take(told, picture);
    }
  }

  async small(photo: Id): Promise<Blob | null> {
    const opened = await this.#opened(photo);
    return opened === null ? null : ((await opened.small()) ?? opened.whole());
  }

  async whole(photo: Id): Promise<Blob> {
    const opened = await this.#opened(photo);
    return opened === null ? this.#fetch(photo) : opened.whole();
  }

  /**
   * Drops the copies of what may be seen here no more, or was removed, and the oldest beyond what may stay. A
   * picture that the practice has not got is never dropped.
   */
  async #tidy(): Promise<void> {
    const owns = this.#hooks.owns();
    const seen = (await this.#hooks.rows()).filter(
      ({ row }) => row.removed_at === null && (owns || !row.without_consent),
    );
    const here = new Set(seen.map(({ id }) => id));
    const kept = (await this.#phone.db.getAll("pictures")).filter((each) => !isUnsent(each));
    const old = beyond(kept.map(({ size, ...copy }) => ({ ...copy, bytes: size })));
    await this.#dropCopies(({ id }) => !here.has(id) || old.includes(id));
  }

  async #take(told: PhotoTold, { whole, small, ...size }: Picture): Promise<{ id: Id }> {
    const [phone, id] = [this.#phone, this.#phone.newId()];
    const bytes = new Uint8Array(await whole.arrayBuffer());
    const sha256 = await sha256Of(bytes);
    const at = phone.now();
    const sealed = await sealPicture(
      phone.lock.key(),
      { id, state: "unsent", kept_at: at.getTime() },
      { whole: bytes, small: new Uint8Array(await small.arrayBuffer()), sha256 },
    );
    const named = { about: null, foot: null, view: null, ...told };
    const record = { photo: id, ...named, ...size, sha256, bytes: bytes.length };
    const command = await writeCommandWith(
      phone,
      "record_photo",
      { ...record, taken_at: at.toISOString() },
      {
        stores: PICTURE_STORES,
        write: (tx) => {
          putPicture(tx, sealed);
        },
      },
    );
    this.#hooks.added(command);
    void this.count().catch(phone.report);
    return { id };
  }

  async #opened(photo: Id): Promise<OpenedPicture | null> {
    const under = this.#phone.lock.keyToShow();
    const stored = await this.#phone.db.get("pictures", photo);
    return stored === undefined ? null : OpenedPicture.open(this.#phone.db, under, stored);
  }

  async #fetch(photo: Id): Promise<Blob> {
    const [as, held] = [this.#hooks.credentials(), this.#phone.lock.held()];
    if (as === null) throw new Fault("locked");
    const blob = await this.#http.photo(as, photo).catch((cause: unknown) => {
      throw new Fault(faultOf(cause), { cause });
    });
    const whole = new Uint8Array(await blob.arrayBuffer());
    const sha256 = await sha256Of(whole);
    if ((await this.#hooks.row(photo))?.row.sha256 !== sha256) throw new Fault("server_trouble");
    const named = { id: photo, state: "fetched" as const, kept_at: this.#phone.now().getTime() };
    const sealed = await sealPicture(held.key, named, { whole, small: null, sha256 });
    // On a full disk it is looked at all the same.
    await writeUnderKey(this.#phone.db, held, [...PICTURE_STORES], (tx) => {
      putPicture(tx, sealed);
      return Promise.resolve();
    }).catch(() => undefined);
    return blob;
  }

  /** Returns whether any was there to drop. */
  async #dropCopies(which: (stored: StoredPicture) => boolean): Promise<boolean> {
    const all = await this.#phone.db.getAll("pictures");
    if (!all.some((stored) => !isUnsent(stored) && which(stored))) return false;
    return writeStrictly(this.#phone.db, [...PICTURE_STORES], async (tx) => {
      const now = await tx.objectStore("pictures").getAll();
      const goes = now.filter((stored) => !isUnsent(stored) && which(stored));
      for (const { id } of goes) dropPicture(tx, id);
      return goes.length > 0;
    });
  }
}
