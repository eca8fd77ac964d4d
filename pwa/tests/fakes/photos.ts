/** The pictures that the server in memory has, with faults on demand. */
import { partsOf } from "../../src/domain/pictures";
import { HttpFault, type PhotoPart } from "../../src/wire/http";
import type { PhotoParts } from "../../src/wire/types";

type Bytes = Uint8Array<ArrayBuffer>;
type Row = Record<string, unknown> | null;

export class FakePhotos {
  readonly parts = new Map<string, Map<number, Bytes>>();
  readonly arrived = new Set<string>();
  /** How often each part came, by photo and number. */
  readonly came: string[] = [];
  /** Thrown in place of the answers to come; null lets one through. */
  readonly faults: (HttpFault | null)[] = [];
  readonly #row: (photo: string) => Row;

  constructor(row: (photo: string) => Row) {
    this.#row = row;
  }

  async answer(photo: string): Promise<PhotoParts> {
    await Promise.resolve();
    const fault = this.faults.shift() ?? null;
    if (fault !== null) throw fault;
    if (this.#row(photo) === null) throw new HttpFault("not_found", 404);
    return this.#parts(photo);
  }

  async take(photo: string, { number, bytes }: PhotoPart): Promise<PhotoParts> {
    await this.answer(photo);
    this.came.push(`${photo}/${String(number)}`);
    this.parts.set(photo, (this.parts.get(photo) ?? new Map<number, Bytes>()).set(number, bytes));
    return this.#parts(photo);
  }

  async whole(photo: string): Promise<PhotoParts> {
    await this.answer(photo);
    const bytes = new Uint8Array(await (await this.picture(photo)).arrayBuffer());
    const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
    const sha256 = Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
    if (sha256 !== this.#row(photo)?.["sha256"]) {
      this.parts.delete(photo);
      throw new HttpFault("photo_differs", 422);
    }
    this.arrived.add(photo);
    return this.#parts(photo);
  }

  picture(photo: string): Promise<Blob> {
    const parts = [...(this.parts.get(photo) ?? [])].sort(([one], [other]) => one - other);
    return Promise.resolve(
      new Blob(
        parts.map(([, bytes]) => bytes),
        { type: "image/jpeg" },
      ),
    );
  }

  #parts(photo: string): PhotoParts {
    const of = partsOf(Number(this.#row(photo)?.["bytes"] ?? 0));
    const parts = [...(this.parts.get(photo)?.keys() ?? [])].sort((one, other) => one - other);
    return { photo, parts, of, arrived: this.arrived.has(photo) };
  }
}
