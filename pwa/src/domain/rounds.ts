/**
 * A round through a facility: in which order its residents are seen, who sees whom, and when. Pure. Times are
 * minutes of the day on the practice's clock.
 */
import type { Id } from "../wire/types";

export interface RoundStop {
  client: Id;
  name: string;
  room: string;
  corridor: string;
  see_last: boolean;
  minutes: number;
}
export interface Quiet {
  name: string;
  starts: number;
  ends: number;
}
/** `after` names the quiet time that it waited for. */
export interface LaidOut {
  client: Id;
  starts: number;
  minutes: number;
  after: string | null;
}

/** As one walks: corridor by corridor, by the number of the room, and who is seen last at the end. */
export function walkingOrder<S extends RoundStop>(
  stops: readonly S[],
  corridors: readonly string[],
): S[] {
  const place = new Map(corridors.map((name, at) => [name.toLowerCase(), at]));
  const corridorOf = ({ corridor }: S) => place.get(corridor.toLowerCase()) ?? corridors.length;
  return stops.toSorted(
    (one, other) =>
      Number(one.see_last) - Number(other.see_last) ||
      corridorOf(one) - corridorOf(other) ||
      one.corridor.toLowerCase().localeCompare(other.corridor.toLowerCase()) ||
      one.room.localeCompare(other.room, undefined, { numeric: true }) ||
      one.name.localeCompare(other.name),
  );
}

/** The order that a person has made, with whoever came since after those whom they follow on the walk. */
export function kept(hand: readonly Id[], walk: readonly Id[]): Id[] {
  const order = hand.filter((id) => walk.includes(id));
  for (const [at, id] of walk.entries()) {
    if (order.includes(id)) continue;
    const before = walk.slice(0, at).findLast((each) => order.includes(each));
    order.splice(before === undefined ? 0 : order.indexOf(before) + 1, 0, id);
  }
  return order;
}

/**
 * Who sees whom: as it was said, else the walk in as many stretches as there are technicians, of about the same
 * minutes. Who is seen last goes to the one who is through first.
 */
export function shared(
  stops: readonly RoundStop[],
  technicians: readonly Id[],
  said: Readonly<Record<Id, Id>>,
): Map<Id, Id> {
  const load = new Map(technicians.map((id) => [id, 0]));
  const whose = new Map<Id, Id>();
  const give = (stop: RoundStop, to: Id | undefined) => {
    if (to === undefined) return;
    whose.set(stop.client, to);
    load.set(to, (load.get(to) ?? 0) + stop.minutes);
  };
  const free = stops.filter((stop) => {
    const to = said[stop.client];
    if (to === undefined || !load.has(to)) return true;
    give(stop, to);
    return false;
  });
  const inTurn = free.filter((stop) => !stop.see_last);
  const all = inTurn.reduce((sum, { minutes }) => sum + minutes, 0);
  let before = 0;
  for (const stop of inTurn) {
    const part = Math.floor(((2 * before + stop.minutes) * technicians.length) / (2 * all));
    give(stop, technicians[Math.min(part, technicians.length - 1)]);
    before += stop.minutes;
  }
  for (const stop of free.filter(({ see_last }) => see_last)) {
    const least = technicians.toSorted((a, b) => (load.get(a) ?? 0) - (load.get(b) ?? 0))[0];
    give(stop, least);
  }
  return whose;
}

/** One technician's stops one after the other. None touches a quiet time: it waits until that is over. */
export function laidOut(
  stops: readonly RoundStop[],
  starts: number,
  quiet: readonly Quiet[],
): LaidOut[] {
  const rests = quiet.toSorted((one, other) => one.starts - other.starts);
  let at = starts;
  return stops.map(({ client, minutes }) => {
    let after: string | null = null;
    for (const rest of rests) {
      if (at < rest.ends && at + minutes > rest.starts) [at, after] = [rest.ends, rest.name];
    }
    const stop = { client, starts: at, minutes, after };
    at += minutes;
    return stop;
  });
}

/** The order with one stop moved by a place among those of its technician. As it was where there is no such place. */
export function moved(
  order: readonly Id[],
  whose: ReadonlyMap<Id, Id>,
  client: Id,
  by: 1 | -1,
): Id[] {
  const own = order.filter((id) => whose.get(id) === whose.get(client));
  const other = own[own.indexOf(client) + by];
  if (other === undefined) return [...order];
  return order.map((id) => (id === client ? other : id === other ? client : id));
}

/** Those who are to be seen last and stand before somebody who is not. */
export function tooEarly(stops: readonly RoundStop[]): RoundStop[] {
  const last = stops.findLastIndex(({ see_last }) => !see_last);
  return stops.filter(({ see_last }, at) => see_last && at < last);
}
