/** Opens the server's PDF of a record in a tab of its own. */
import { store } from "../store";
import type { Id, PaperName } from "../wire/types";

export async function openPaper(name: PaperName, row: Id): Promise<void> {
  const url = URL.createObjectURL(await store.paper(name, row));
  window.open(url, "_blank", "noopener");
  // The new tab has read it by then.
  setTimeout(() => {
    URL.revokeObjectURL(url);
  }, 60_000);
}
