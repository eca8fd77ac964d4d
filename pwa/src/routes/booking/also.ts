/** What a client has booked already, for whoever books or moves a visit of theirs. */
import type { Id } from "../../wire/types";
import { dayKey } from "../../words/format";
import type { ClientFile } from "../client/file";
import { stillBooked } from "../client/path";

/** From today on, the next first; without those (`but`) that the form is about. */
export function alsoBooked(file: ClientFile, but: readonly Id[] = []): ClientFile["bookings"] {
  return stillBooked(file).filter(
    ({ id, row }) => !but.includes(id) && dayKey(row.starts_at) >= file.day,
  );
}
