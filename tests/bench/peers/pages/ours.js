/** Our store with the loopback server of sides/ours.mjs, which has no rows until it is told to. */
import { ask } from "./measured.js";
import { enter, firstSync, measures, syncNow } from "./store.js";

globalThis.peer = {
  ...measures,

  async open() {
    if (await enter("owner@practice.test", "any")) await syncNow();
  },

  async firstSync(count) {
    await ask("/bench/fill", {});
    return firstSync(count, syncNow);
  },
};
