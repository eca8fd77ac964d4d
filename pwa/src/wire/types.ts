/**
 * The shapes that cross the wire, under the names that the app uses. schema.ts is generated from the
 * server's own schema by `npm run wire`.
 */
import type { components } from "./schema";

type Schemas = components["schemas"];

export type Id = string;
/** ISO 8601 with offset, UTC. */
export type Instant = string;
/** ISO 8601 calendar date. */
export type Day = string;

/** What was done over a span of days, as a PDF or as a table. */
export type LogName = "kit_log" | "mileage_log" | "takings_log";
export interface LogDays {
  from: Day;
  to: Day;
}
export type LogForm = "pdf" | "csv";

/** A paper that the server prints as PDF. */
export type PaperName =
  | "referral_letter"
  | "consent_record"
  | "label_sheet"
  | "recall_list"
  | "receipt"
  | "receipt_es"
  | "invoice"
  | "door_list"
  | "handover_sheet";

/** The arguments of every command, and the row of every kind, by name. */
export type WireCommands = Schemas["Commands"];
export type WireRows = Schemas["Rows"];

export type Role = Schemas["Role"];
export type Staff = Omit<Schemas["StaffOut"], "role"> & { role: Role };
export type Practice = Schemas["PracticeOut"];
export type DeviceRegistered = Omit<Schemas["Enrolled"], "staff"> & { staff: Staff };

export type Refusal = Required<Omit<Schemas["RefusalOut"], "about">> &
  Pick<Schemas["RefusalOut"], "about">;
export type Command = Schemas["Envelope"];
export type CommandResult = Omit<Schemas["Receipt"], "refusal"> & { refusal: Refusal | null };
export type PushReply = Omit<Schemas["Pushed"], "results"> & { results: CommandResult[] };

export type Recovered = Schemas["Recovered"];

export type ResidentsRead = Schemas["FileRead"];
export type PostCodeFound = Schemas["PostCodeFound"];
export type PlanAsked = Required<Schemas["PlanAsked"]>;
export type PlanRun = Schemas["RunTold"];
export type DaysPlan = Schemas["Plan"];
export type ResidentsReport = Schemas["Report"];

export type PhotoParts = Schemas["PhotoParts"];

export type FeedRow = Schemas["PulledRow"];
export type PullReply = Schemas["Pulled"];

export interface RulebookBody {
  version: string;
  [part: string]: unknown;
}

/** What a link to sign shows on the client's own phone, and what comes back by it. */
/** An older server names nobody who asks. */
type WhoAsks = "practice_name" | "technician_name";
export type SigningSheet = Omit<Schemas["SignOpened"], WhoAsks> &
  Partial<Pick<Schemas["SignOpened"], WhoAsks>>;
export type SigningAnswer = Omit<Schemas["SignDone"], "token" | "phone">;
