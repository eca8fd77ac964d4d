/** What the commands about photos do to the phone's rows. The pictures themselves are the store's. */
import { amend, type Effect, put } from "./change";

export const recordPhoto: Effect<"record_photo"> = ({ photo, ...told }, made) => {
  const named = { about: told.about ?? null, foot: told.foot ?? "", view: told.view ?? "" };
  const stands = {
    arrived: false,
    without_consent: false,
    removed_at: null,
    removed_reason: "",
    staff: made.staff,
  };
  return [put("photo", photo, { ...told, ...named, ...stands }, told.client)];
};

export const removePhoto: Effect<"remove_photo"> = ({ photo, reason }, made) => [
  amend("photo", photo, { removed_at: made.at, removed_reason: reason, arrived: false }),
];
