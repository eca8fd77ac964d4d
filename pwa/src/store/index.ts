/** The store as the screens see it. */
import type { Store } from "./api";
import { openInBrowser } from "./browser";

export type * from "./api";
export { Fault } from "./fault";

export const store: Store = openInBrowser();
