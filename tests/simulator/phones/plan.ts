/** What a seed stands for: who is there, which faults happen, and the whole list of events in order. */
import { Random } from "./random";

/** Everyday events, whatever the seed. */
const EVERYDAY = {
  move: 52,
  issue: 15,
  sync: 4,
  timer: 4,
  pass: 3,
  look: 4,
  attend: 1,
} as const;

/** What follows a fault, if there was one. */
const REMEDIES = { tab_closed: 1, brought_back: 1, app_updated: 1 } as const;

/** Each seed draws which of these happen in it, so that some runs are calm in most respects. */
const FAULTS = {
  request_lost: 3,
  reply_lost: 3,
  reply_torn: 1,
  request_doubled: 3,
  delayed: 3,
  late: 4,
  portal_page: 1.5,
  bad_gateway: 1,
  page_killed_at_task: 3,
  page_killed_at_commit: 3,
  second_tab: 1.5,
  disk_full: 1.5,
  server_killed_at_statement: 2.5,
  server_killed_before_reply: 1.5,
  backup: 1,
  restored: 0.8,
  phone_clock_set: 1.5,
  server_clock_set: 0.4,
  idle_lock: 1,
  device_revoked: 0.8,
  signed_in_again: 0.8,
  passphrase_forgotten: 0.7,
  feed_trimmed: 0.5,
  rulebook_changed: 0.6,
  old_app: 0.4,
} as const;

type Everyday = keyof typeof EVERYDAY;
export type FaultKind = keyof typeof FAULTS | keyof typeof REMEDIES;
export type EventKind = Everyday | FaultKind | "rest";

export interface Event {
  kind: EventKind;
  /** Drawn once, and turned into a choice when the event happens. */
  a: number;
  b: number;
  /** How many tasks each phone runs afterwards. */
  tasks: number;
}

export interface Plan {
  /** Indexes into the people of the base world; one phone each. */
  phones: number[];
  rowsPerPage: number;
  /** Whether requests pause before their transactions, so that others may overtake. */
  pauses: boolean;
  events: Event[];
}

const LARGE = 1 << 16;
const ROUNDS = 3;
const EVENTS_A_ROUND = 220;
/** The owner's and a technician's phone are always there; the fifth person is of another practice. */
const ALWAYS = [0, 1];
const FURTHER = [1, 2, 3, 0, 2, 4] as const;

export function planOf(seed: number): Plan {
  const random = new Random(seed);
  const further = FURTHER.filter(() => random.chance(0.55));
  const phones = [...ALWAYS, ...(further.length > 0 ? further : [2])];
  const faults = Object.entries(FAULTS).filter(() => random.chance(0.6));
  const kinds = [
    ...Object.entries({ ...EVERYDAY, ...REMEDIES }),
    ...faults,
  ] as [EventKind, number][];
  const events = Array.from({ length: ROUNDS }, () =>
    roundOf(random, kinds),
  ).flat();
  const rowsPerPage = random.weighted([
    [3, 1],
    [10, 2],
    [500, 2],
  ]);
  return { phones, rowsPerPage, pauses: random.chance(0.6), events };
}

function roundOf(random: Random, kinds: [EventKind, number][]): Event[] {
  const draw = (kind: EventKind): Event => ({
    kind,
    a: random.below(LARGE),
    b: random.below(LARGE),
    tasks: random.chance(0.75) ? Infinity : random.below(12),
  });
  const events = Array.from({ length: EVENTS_A_ROUND }, () =>
    draw(random.weighted(kinds)),
  );
  return [...events, draw("rest")];
}
