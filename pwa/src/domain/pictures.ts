/** What a picture may be on the phone: how large it is made, in which pieces it lies, which copies go first. */

/** Bytes, as the server counts the parts. */
export const PART_BYTES = 256 * 1024;
/** Bytes: the server takes no larger one. */
export const MOST_BYTES = 4 * 1024 * 1024;
/** Pixels along the longer side: a crack of a millimetre still shows. */
const LONG_SIDE = 1600;
export const SMALL_SIDE = 480;
/** Bytes of copies that the practice has already. */
export const MOST_COPIES = 60_000_000;
/** Bytes at which a picture is good enough to send over a thin line. */
const WANTED_BYTES = 600_000;
/** JPEG qualities in the order in which they are tried. */
export const QUALITIES: readonly number[] = [0.85, 0.75, 0.65, 0.5];

export interface Size {
  width: number;
  height: number;
}

/** In the same shape, no longer than `side` pixels; never made larger, never less than a pixel. */
export function fitted({ width, height }: Size, side = LONG_SIDE): Size {
  const scale = Math.min(1, side / Math.max(width, height));
  const scaled = (length: number) => Math.max(1, Math.round(length * scale));
  return { width: scaled(width), height: scaled(height) };
}

/** Whether a picture is small enough, or there is nothing more to try. */
export function isEnough(bytes: number, quality: number): boolean {
  return bytes <= WANTED_BYTES || quality === QUALITIES.at(-1);
}

/** In how many parts a picture of so many bytes travels. */
export function partsOf(bytes: number): number {
  return Math.ceil(bytes / PART_BYTES);
}

/** From where to where in the picture part `number`, counted from 1, goes. */
export function partSpan(bytes: number, number: number): [from: number, to: number] {
  return [(number - 1) * PART_BYTES, Math.min(bytes, number * PART_BYTES)];
}

export interface Copy {
  id: string;
  bytes: number;
  /** Milliseconds since 1970. */
  kept_at: number;
}

/** The oldest copies beyond what may stay. */
export function beyond(copies: readonly Copy[], most = MOST_COPIES): string[] {
  let kept = 0;
  return copies
    .toSorted((one, other) => other.kept_at - one.kept_at)
    .filter(({ bytes }) => (kept += bytes) > most)
    .map(({ id }) => id);
}
