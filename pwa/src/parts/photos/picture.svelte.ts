/** A photo's picture for a screen: an address that is good while the screen is there, and no longer. */
import { store } from "../../store";
import type { Id } from "../../wire/types";

export interface ShownPicture {
  readonly url: string | null;
  /** Whether this phone was asked for it. */
  readonly looked: boolean;
  /** Over a connection. */
  fetch: () => Promise<void>;
}

export function pictureOf(photo: () => Id): ShownPicture {
  let url = $state.raw<string | null>(null);
  let looked = $state(false);

  function show(blob: Blob | null) {
    if (url !== null) URL.revokeObjectURL(url);
    url = blob && URL.createObjectURL(blob);
  }

  $effect(() => {
    const wanted = photo();
    let left = false;
    looked = false;
    void store.photos
      .small(wanted)
      // One that does not open is fetched.
      .catch(() => null)
      .then((blob) => {
        if (left) return;
        show(blob);
        looked = true;
      });
    return () => {
      left = true;
      show(null);
    };
  });

  return {
    get url() {
      return url;
    },
    get looked() {
      return looked;
    },
    fetch: async () => {
      show(await store.photos.whole(photo()));
    },
  };
}
