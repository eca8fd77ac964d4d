/** What the technician sets down before the phone is handed over for a signature. */
import type { Presented, SignerRole } from "../../domain/commands";

export interface ConsentForm {
  signer_role: SignerRole;
  signer_name: string;
  authority: string;
  presented: Presented;
  own_wish: boolean;
  by_mark: boolean;
  witness: string;
}

export function blankConsent(): ConsentForm {
  return {
    signer_role: "client",
    signer_name: "",
    authority: "",
    presented: "read_self",
    own_wish: false,
    by_mark: false,
    witness: "",
  };
}

export function ready(form: ConsentForm): boolean {
  const spoken = form.signer_role === "client" || form.authority.trim() !== "";
  const seen = !form.by_mark || form.witness.trim() !== "";
  return form.signer_name.trim() !== "" && spoken && seen;
}
