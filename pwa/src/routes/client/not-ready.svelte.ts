/** Which residents can't be visited on a day, live, on the phone of a coordinator. Others know more, and of more. */
import { fromStore } from "svelte/store";
import { notReady, type NotReady } from "../../domain/not-ready";
import { store } from "../../store";

/** `told` is given by who has to know when it was read: until then nobody is known not to be ready. */
export function notReadyNow(
  told = fromStore(store.rows.live("not_ready")),
): (client: string, day: string) => NotReady | undefined {
  const session = fromStore(store.session);
  return (client, day) =>
    session.current.staff?.role === "coordinator"
      ? notReady(told.current ?? [], client, day)
      : undefined;
}
