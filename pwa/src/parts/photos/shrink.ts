/**
 * Makes of a camera's file the picture that is kept: upright, small enough, and drawn anew, so that nothing of what
 * the camera writes beside it, such as the place, is in it.
 */
import {
  fitted,
  isEnough,
  MOST_BYTES,
  QUALITIES,
  type Size,
  SMALL_SIDE,
} from "../../domain/pictures";
import { Fault, type Picture } from "../../store";

const SMALL_QUALITY = 0.75;

/** Throws `not_a_picture` where this browser can't read it as one. */
export async function shrink(file: Blob): Promise<Picture> {
  const source = await read(file);
  try {
    const size = fitted(source);
    const canvas = drawn(source, size);
    const whole = await encoded(canvas);
    const small = await jpeg(drawn(canvas, fitted(canvas, SMALL_SIDE)), SMALL_QUALITY);
    return { ...size, whole, small };
  } finally {
    source.close();
  }
}

/** Upright, by what the camera says of how it was held. */
async function read(file: Blob): Promise<ImageBitmap> {
  try {
    return await createImageBitmap(file, { imageOrientation: "from-image" });
  } catch (cause) {
    throw new Fault("not_a_picture", { cause });
  }
}

function drawn(source: ImageBitmap | HTMLCanvasElement, { width, height }: Size) {
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [width, height];
  const pen = canvas.getContext("2d");
  if (pen === null) throw new Fault("not_a_picture");
  // JPEG has no transparency, and would show it black.
  pen.fillStyle = "white";
  pen.fillRect(0, 0, width, height);
  pen.imageSmoothingQuality = "high";
  pen.drawImage(source, 0, 0, width, height);
  return canvas;
}

async function encoded(canvas: HTMLCanvasElement): Promise<Blob> {
  for (const quality of QUALITIES) {
    const blob = await jpeg(canvas, quality);
    if (!isEnough(blob.size, quality)) continue;
    if (blob.size > MOST_BYTES) break;
    return blob;
  }
  throw new Fault("too_large");
}

function jpeg(canvas: HTMLCanvasElement, quality: number): Promise<Blob> {
  return new Promise((done, failed) => {
    canvas.toBlob(
      (blob) => {
        if (blob === null) failed(new Fault("not_a_picture"));
        else done(blob);
      },
      "image/jpeg",
      quality,
    );
  });
}
