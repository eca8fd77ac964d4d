/** The one error that the store throws. Carries a code for the catalogue, never words or data. */
import { HttpFault } from "../wire/call";
import type { FaultCode } from "./api";

export class Fault extends Error {
  readonly code: FaultCode;

  constructor(code: FaultCode, options?: ErrorOptions) {
    super(code, options);
    this.name = "Fault";
    this.code = code;
  }
}

/** Only a person can mend these: signing in again, or a newer app. */
export const FINAL: readonly FaultCode[] = [
  "not_signed_in",
  "device_revoked",
  "device_cloned",
  "app_out_of_date",
  "newer_app_open",
];

const KNOWN: readonly FaultCode[] = [
  ...FINAL,
  "no_connection",
  "not_our_server",
  "server_out_of_date",
  "server_trouble",
];

/** The server's code where the app has a word for it; else by what kind of failure it was. */
export function faultOf(cause: unknown): FaultCode {
  if (cause instanceof Fault) return cause.code;
  if (!(cause instanceof HttpFault)) return "storage_broken";
  const known = KNOWN.find((code) => code === cause.code);
  if (known !== undefined) return known;
  if (cause.status === 429) return "too_many_tries";
  // Our server, and it does not understand this app as a whole.
  return cause.status >= 400 && cause.status < 500 ? "app_out_of_date" : "server_trouble";
}
