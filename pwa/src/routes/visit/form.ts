/** The visit as it is written down while it goes on, and as the report that ends it. */
import type { BitUse, CommandArgs, CrackMeasure, SoftenerUse } from "../../domain/commands";
import type { Finding } from "../../domain/findings";
import { blankKit, usedKit, type VisitKit } from "./kit-form";
import type { OpenBit, OpenSoftener } from "./open-forms";

export interface VisitForm {
  visit: string;
  started_at: string;
  screen: string;
  check: string;
  consent: string;
  /** The version of the booking when the visit began. */
  seen_booking: number | null;
  bits: BitUse[];
  softeners: SoftenerUse[];
  /** Begun and not kept yet. Null where its form is shut. */
  open_bit: OpenBit | null;
  open_softener: OpenSoftener | null;
  kit: VisitKit;
  cracks: CrackMeasure[];
  stop_signs: string[];
  left_alone: string[];
  work_done: string[];
  note: string;
  ended_early: string;
  aftercare: string[] | null;
  weeks_until_next: number | null;
}

export function blankVisit(): VisitForm {
  return {
    visit: "",
    started_at: "",
    screen: "",
    check: "",
    consent: "",
    seen_booking: null,
    bits: [],
    softeners: [],
    open_bit: null,
    open_softener: null,
    kit: blankKit(),
    cracks: [],
    stop_signs: [],
    left_alone: [],
    work_done: [],
    note: "",
    ended_early: "",
    aftercare: null,
    weeks_until_next: null,
  };
}

export function cracksOf(findings: readonly Finding[]): CrackMeasure[] {
  return findings
    .filter(({ what }) => what === "crack")
    .map(({ id, foot, region, length_mm, depth_mm }) => ({
      finding: id,
      foot,
      region,
      length_mm,
      depth_mm,
      length_after_mm: null,
      depth_after_mm: null,
    }));
}

export function report(
  form: VisitForm,
  booking: string,
  client: string,
  ended_at: string,
): CommandArgs["complete_visit"] {
  const { open_bit: _, open_softener: __, ...rest } = form;
  const said = { aftercare: form.aftercare ?? [], kit: usedKit(form.kit, ended_at) };
  return { ...rest, booking, client, ended_at, ...said };
}

export const WORK = [
  "nails_cut",
  "nails_filed",
  "nails_thinned",
  "callus_smoothed",
  "crack_edges_smoothed",
  "skin_softened",
  "cream_put_on",
  "advice_given",
] as const;
