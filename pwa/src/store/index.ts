/** The store as the screens see it. */
import type { Store } from "./api";

export type * from "./api";
export { Fault } from "./fault";

export const store: Store = openBrowserStore();

function openBrowserStore(): Store {
  throw new Error("not built yet");
}
