/**
 * Finds a code in a picture of the camera: by the browser where it can (Shape Detection API), otherwise by a library
 * that is part of the app. Nothing of the picture is kept or sent.
 */
export type Find = (video: HTMLVideoElement) => Promise<string | null>;

/** A code, and how far from the middle of the picture it is. */
export interface Found {
  text: string;
  off: number;
}

interface Detected {
  rawValue: string;
  boundingBox: DOMRectReadOnly;
}
interface Detector {
  detect(video: HTMLVideoElement): Promise<Detected[]>;
}
interface DetectorClass {
  new (options: { formats: string[] }): Detector;
  getSupportedFormats(): Promise<string[]>;
}

// Labels, and what goods and packs of a sterile supply carry.
const FORMATS = [
  "qr_code",
  "data_matrix",
  "ean_13",
  "ean_8",
  "upc_a",
  "upc_e",
  "code_128",
  "code_39",
];

/** A browser's own detector may be named and yet fail at each picture, where its phone lacks a service. */
export async function openReader(): Promise<Find> {
  const own = await byBrowser();
  if (own === null) return byLibrary();
  let find = own;
  return async (video) => {
    try {
      return await find(video);
    } catch (error) {
      if (find !== own) throw error;
      find = await byLibrary();
      return find(video);
    }
  };
}

async function byBrowser(): Promise<Find | null> {
  const { BarcodeDetector } = globalThis as { BarcodeDetector?: DetectorClass };
  if (BarcodeDetector === undefined) return null;
  const offered = await BarcodeDetector.getSupportedFormats().catch((): string[] => []);
  if (!offered.includes("qr_code")) return null;
  const detector = new BarcodeDetector({
    formats: FORMATS.filter((format) => offered.includes(format)),
  });
  return async (video) => {
    const { videoWidth, videoHeight } = video;
    const found = await detector.detect(video);
    return nearestMiddle(
      found.map(({ rawValue, boundingBox: { x, y, width, height } }) => ({
        text: rawValue,
        off: Math.hypot(x + (width - videoWidth) / 2, y + (height - videoHeight) / 2),
      })),
    );
  };
}

async function byLibrary(): Promise<Find> {
  const { finder } = await import("./library");
  const find = await finder();
  return async (video) => nearestMiddle(await find(video));
}

/** Labels lie side by side on a tray: the one that the camera is pointed at is meant. */
export function nearestMiddle(found: readonly Found[]): string | null {
  const [nearest] = found.filter(({ text }) => text !== "").sort((a, b) => a.off - b.off);
  return nearest?.text ?? null;
}
