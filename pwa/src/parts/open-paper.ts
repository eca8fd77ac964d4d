/** Opens the server's PDF of a record in a tab of its own. */
import { store } from "../store";
import type { Id, PaperName } from "../wire/types";
import { openFile } from "./hand-out";

export async function openPaper(name: PaperName, row: Id): Promise<void> {
  openFile(await store.paper(name, row));
}
