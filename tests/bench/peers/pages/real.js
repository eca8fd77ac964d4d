/** Our store with the real server. The rulebook is fetched within the first sync. */
import { enter, firstSync, holdPulls, inStep, measures } from "./store.js";

let letPullsGo;

globalThis.peer = {
  ...measures,

  async open({ email, password }) {
    letPullsGo = holdPulls();
    await enter(email, password);
  },

  firstSync: (count) =>
    firstSync(count, () => {
      letPullsGo();
      return inStep();
    }),
};
