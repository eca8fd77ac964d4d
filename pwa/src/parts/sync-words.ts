/** The sync state as one short sentence: what is kept here, and what the server has. */
import type { SyncState } from "../store";
import { t } from "../words";

export function syncWords({ state, pending, detail }: SyncState): string {
  if (state === "stopped") return detail ? t(`fault.${detail}`) : t("sync.stopped");
  if (state === "sending") return t("sync.sending", { count: pending });
  if (state === "fetching") return t("sync.fetching");
  if (pending > 0) return t("sync.pending", { count: pending });
  return state === "offline" ? t("sync.offline") : t("sync.all_sent");
}
