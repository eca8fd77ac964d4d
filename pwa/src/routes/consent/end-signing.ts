/** Takes a link to sign back. */
import { store } from "../../store";

export async function endSigning(offer: string): Promise<void> {
  await store.issue("end_signing", { offer, ended_at: store.now().toISOString() });
}
