/** Asks the phone's camera, or on a desktop its files, for one picture. */
import { store } from "../../store";

/**
 * Null where none was taken. The field is no part of a screen: a phone that is covered meanwhile takes its screens
 * away, and the picture comes all the same.
 */
export async function takenPicture(): Promise<File | null> {
  const input = document.createElement("input");
  Object.assign(input, { type: "file", accept: "image/*", hidden: true });
  input.setAttribute("capture", "environment");
  document.body.append(input);
  store.atCamera(true);
  try {
    return await chosen(input);
  } finally {
    store.atCamera(false);
    input.remove();
  }
}

function chosen(input: HTMLInputElement): Promise<File | null> {
  return new Promise((done) => {
    input.addEventListener("change", () => {
      done(input.files?.[0] ?? null);
    });
    input.addEventListener("cancel", () => {
      done(null);
    });
    input.click();
  });
}
