/** The shapes that cross the wire, under the names that the app uses. */

export type Id = string;
/** ISO 8601 with offset, UTC. */
export type Instant = string;
/** ISO 8601 calendar date. */
export type Day = string;

export interface Refusal {
  code: string;
  field: string | null;
  text: string;
  remedy: string;
}

export type Role = "owner" | "technician" | "coordinator";

export interface Staff {
  id: Id;
  name: string;
  role: Role;
}

export interface Practice {
  id: Id;
  name: string;
  zone: string;
  units: string;
  invented: boolean;
}

export interface DeviceRegistered {
  token: string;
  device: Id;
  staff: Staff;
  practice: Practice;
  next_seq: number;
}

export interface Command {
  id: Id;
  seq: number;
  name: string;
  args: Record<string, unknown>;
  made_at: Instant;
  rulebook: string;
}

export type Status = "applied" | "already_applied" | "refused" | "held_back";

export interface CommandResult {
  id: Id;
  seq: number;
  status: Status;
  refusal: Refusal | null;
  incidents: Id[];
}

export interface PushReply {
  device: Id;
  results: CommandResult[];
  next_seq: number;
}

export interface FeedRow {
  kind: string;
  id: Id;
  scope: Id;
  version: number;
  row: Record<string, unknown> | null;
}

export interface PullReply {
  device: Id;
  epoch: string;
  cursor: string;
  more: boolean;
  reset: boolean;
  forget: Id[];
  rows: FeedRow[];
  next_seq: number;
}

export interface RulebookBody {
  version: string;
  [part: string]: unknown;
}
