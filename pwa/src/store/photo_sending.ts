/**
 * Sends the pictures of photos, part by part, once their records are sent. A line that is cut costs one part; one
 * picture that can't be sent holds up no other, and none of them holds up the commands.
 */
import { partsOf } from "../domain/pictures";
import { type Credentials, type Http, HttpFault } from "../wire/http";
import type { Id, PhotoParts } from "../wire/types";
import { fromHex, toBase64 } from "./base64";
import type { StoredPicture } from "./db";
import { Fault, faultOf } from "./fault";
import { OneAtATime } from "./one_at_a_time";
import type { Phone } from "./phone";
import { isUnsent, OpenedPicture, setState, sha256Of } from "./pictures";

export interface PicturesLeft {
  /** Still to be sent. */
  photos_pending: number;
  /** Of those, the ones that this phone can't read any more. */
  photos_damaged: number;
}

export interface SendingHooks {
  credentials: () => Credentials | null;
  counted: (left: PicturesLeft) => void;
}

/** What says something about one picture, and nothing about the line or the server. */
const OF_ONE_PICTURE = [400, 404, 409, 413, 422];

export class PhotoSending {
  readonly #phone: Phone;
  readonly #http: Http;
  readonly #hooks: SendingHooks;
  readonly #goes = new OneAtATime(() => this.#sendAll());

  constructor(phone: Phone, http: Http, hooks: SendingHooks) {
    [this.#phone, this.#http, this.#hooks] = [phone, http, hooks];
  }

  /** One after the other, the oldest first. */
  run(): Promise<void> {
    return this.#goes.run();
  }

  async count(): Promise<void> {
    const left = (await this.#phone.db.getAll("pictures")).filter(isUnsent);
    const damaged = left.filter(({ state }) => state === "damaged").length;
    this.#hooks.counted({ photos_pending: left.length, photos_damaged: damaged });
  }

  async #sendAll(): Promise<void> {
    const as = this.#hooks.credentials();
    if (as === null) return;
    const stored = await this.#phone.db.getAll("pictures");
    const waiting = stored.filter(({ state }) => state === "unsent");
    for (const picture of waiting.sort((one, other) => one.kept_at - other.kept_at)) {
      await this.#send(as, picture);
      await this.count();
    }
  }

  /** Throws only what says that no picture can be sent now. */
  async #send(as: Credentials, stored: StoredPicture): Promise<void> {
    try {
      const picture = await OpenedPicture.open(this.#phone.db, this.#phone.lock.key(), stored);
      await this.#sendParts(as, stored, picture);
      await setState(this.#phone.db, stored.id, "sent");
    } catch (cause) {
      if (faultOf(cause) === "record_damaged") await this.#damaged(stored.id);
      else if (!(cause instanceof HttpFault) || !OF_ONE_PICTURE.includes(cause.status)) throw cause;
      // The practice wants it no more.
      else if (cause.code === "photo_removed") await setState(this.#phone.db, stored.id, "sent");
      else if (cause.code === "photo_differs") await this.#checkOwn(stored);
    }
  }

  async #sendParts(
    as: Credentials,
    { id, size }: StoredPicture,
    picture: OpenedPicture,
  ): Promise<void> {
    let here: PhotoParts = await this.#http.photoParts(as, id);
    for (let number = 1; number <= partsOf(size) && !here.arrived; number += 1) {
      if (here.parts.includes(number)) continue;
      const bytes = await picture.part(number);
      const sha256 = toBase64(fromHex(await sha256Of(bytes)));
      here = await this.#http.photoPart(as, id, { number, bytes, sha256 });
    }
    if (!here.arrived) await this.#http.photoWhole(as, id);
  }

  /** The server has kept nothing of it. What is whole here is sent anew with the next round. */
  async #checkOwn(stored: StoredPicture): Promise<void> {
    const picture = await OpenedPicture.open(this.#phone.db, this.#phone.lock.key(), stored);
    const bytes = new Uint8Array(await (await picture.whole()).arrayBuffer());
    if ((await sha256Of(bytes)) !== picture.sha256) await this.#damaged(stored.id);
  }

  async #damaged(id: Id): Promise<void> {
    await setState(this.#phone.db, id, "damaged");
    this.#phone.report(new Fault("record_damaged"));
  }
}
