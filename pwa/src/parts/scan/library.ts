/** The reader for browsers that have none of their own: zxing-cpp as WebAssembly, from our own server. */
import { prepareZXingModule, readBarcodes, type ReaderOptions } from "zxing-wasm/reader";
import wasm from "zxing-wasm/reader/zxing_reader.wasm?url";
import type { Found } from "./reader";

const OPTIONS: ReaderOptions = {
  formats: ["QRCode", "DataMatrix", "EAN13", "EAN8", "UPCA", "UPCE", "Code128", "Code39"],
  tryHarder: true,
  maxNumberOfSymbols: 8,
};
/** Enough for a label that fills a tenth of the picture, and little enough for a slow phone. */
const LONGEST_SIDE = 1_000;

export async function finder(): Promise<(video: HTMLVideoElement) => Promise<Found[]>> {
  await prepareZXingModule({ overrides: { locateFile: () => wasm }, fireImmediately: true });
  const canvas = document.createElement("canvas");
  const pen = canvas.getContext("2d", { willReadFrequently: true });
  return async (video) => {
    if (pen === null) return [];
    const scale = Math.min(1, LONGEST_SIDE / Math.max(video.videoWidth, video.videoHeight));
    const width = Math.round(video.videoWidth * scale);
    const height = Math.round(video.videoHeight * scale);
    Object.assign(canvas, { width, height });
    pen.drawImage(video, 0, 0, width, height);
    const read = await readBarcodes(pen.getImageData(0, 0, width, height), OPTIONS);
    return read.map(({ text, position: { topLeft, bottomRight } }) => ({
      text,
      off: Math.hypot(
        (topLeft.x + bottomRight.x - width) / 2,
        (topLeft.y + bottomRight.y - height) / 2,
      ),
    }));
  };
}
