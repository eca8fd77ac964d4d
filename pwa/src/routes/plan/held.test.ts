/** Who of a plan is said to be on hold. Check: our own rule, no source. */
import { expect, it } from "vitest";

import type { StandingReason } from "../../domain/standing";
import type { ClientFile } from "../client/file";
import { heldOf } from "./held";

function file(...reasons: StandingReason[]): ClientFile {
  return { standing: { reasons }, waiting: [] } as unknown as ClientFile;
}

it("is whoever waits for a clinician, and not who is asked and signs at the door or is not read yet", () => {
  const files: Record<string, ClientFile | null | undefined> = {
    refer: file("refer_first", "no_consent"),
    door: file("no_screen", "no_foot_check", "no_consent"),
    no: file("clinician_said_no"),
    absent: null,
    unread: undefined,
  };
  const stops = Object.keys(files).map((client) => ({ client }));

  const held = heldOf(stops, (client) => files[client]);

  expect([...held]).toEqual([
    ["refer", files["refer"]],
    ["no", files["no"]],
  ]);
});
