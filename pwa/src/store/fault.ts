/** The one error that the store throws. Carries a code for the catalogue, never words or data. */
import type { FaultCode } from "./api";

export class Fault extends Error {
  readonly code: FaultCode;

  constructor(code: FaultCode, options?: ErrorOptions) {
    super(code, options);
    this.name = "Fault";
    this.code = code;
  }
}
