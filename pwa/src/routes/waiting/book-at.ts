/** Opens the form of a booking with a time that is free. */
import type { BookJson } from "../../domain/screening/book";
import { go } from "../../router";
import { store } from "../../store";
import type { ClientFile } from "../client/file";
import { blankRepeat } from "../booking/repeat";
import { servicesOf, usualService } from "../booking/service";
import type { Booked } from "../booking/suggested";
import type { FreeTime } from "./waits";

export async function bookAt(
  file: ClientFile,
  book: BookJson | null,
  time: FreeTime,
  minutes: number,
): Promise<void> {
  const service = usualService(file, servicesOf(book))?.id ?? "";
  const form: Booked = { ...time, minutes, service, repeat: blankRepeat() };
  store.drafts.save(`book/${file.id}`, form);
  await store.drafts.flush();
  go(`/client/${file.id}/book`);
}
