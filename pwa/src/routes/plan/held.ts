/** Whom of a plan nobody may work on as things stand. */
import type { Id } from "../../wire/types";
import type { ClientFile } from "../client/file";
import { holdOf } from "../client/hold";
import type { Stop } from "./proposal";

export type HeldFiles = ReadonlyMap<Id, ClientFile>;

/** The files behind the stops that are held, by client. */
export function heldOf(
  stops: readonly Pick<Stop, "client">[],
  fileOf: (client: Id) => ClientFile | null | undefined,
): HeldFiles {
  return new Map(
    stops.flatMap(({ client }) => {
      const file = fileOf(client);
      return file && holdOf(file) !== null ? [[client, file] as const] : [];
    }),
  );
}
