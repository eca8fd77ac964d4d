/**
 * Which of what was told of money stands, what stands twice, and what was received. The twin is takings/rules/told.py;
 * both run tests/parity/takings.json. Money is in whole minor units.
 */

/** `about` is the visit or the sale, `replaces` what it corrects, `beside` what else of that the phone knew. */
export interface Told {
  id: string;
  about: string | null;
  beside: readonly string[];
  replaces: readonly string[];
}

export interface Sale extends Told {
  day: string;
  paid: string;
  total: number;
}

export interface Payment extends Told {
  about: string;
  day: string;
  way: string;
  amount: number;
}

export interface Received {
  day: string;
  way: string;
  amount: number;
}

export interface Books {
  received: Received[];
  /** What is due for each sale, less than nothing where more was paid. */
  unpaid: Map<string, number>;
  /** The sales and payments that stand twice: nothing of them is added up. */
  doubled: Set<string>;
}

/** Those that no other one replaces. */
export function standing<T extends Told>(told: readonly T[]): T[] {
  const gone = new Set(told.flatMap(({ replaces }) => replaces));
  return told.filter(({ id }) => !gone.has(id));
}

/** Those that stand for one thing, neither knowing of the other: a person must say which is right. */
export function twice(told: readonly Told[]): Set<string> {
  const byId = new Map(told.map((one) => [one.id, one]));
  const byAbout = new Map<string, Told[]>();
  for (const one of standing(told)) {
    if (one.about !== null) byAbout.set(one.about, [...(byAbout.get(one.about) ?? []), one]);
  }
  const found = new Set<string>();
  for (const beside of byAbout.values()) {
    for (const [place, one] of beside.entries()) {
      for (const other of beside.slice(place + 1)) {
        const known = knows(one, namesOf(other, byId)) || knows(other, namesOf(one, byId));
        if (!known) found.add(one.id).add(other.id);
      }
    }
  }
  return found;
}

function knows(one: Told, names: ReadonlySet<string>): boolean {
  return one.beside.some((id) => names.has(id));
}

/** Itself and whatever it corrects, the first told included. */
export function namesOf(one: Told, byId: ReadonlyMap<string, Told>): Set<string> {
  const names = new Set([one.id]);
  const left = [...one.replaces];
  for (let name = left.pop(); name !== undefined; name = left.pop()) {
    if (names.has(name)) continue;
    names.add(name);
    left.push(...(byId.get(name)?.replaces ?? []));
  }
  return names;
}

/** A payment for a sale that was corrected counts for what stands for it now. */
export function books(sales: readonly Sale[], payments: readonly Payment[]): Books {
  const doubled = new Set([...twice(sales), ...twice(payments)]);
  const byId = new Map<string, Told>(sales.map((sale) => [sale.id, sale]));
  const received: Received[] = [];
  const unpaid = new Map<string, number>();
  const now = new Map<string, string>();
  for (const sale of standing(sales)) {
    for (const name of namesOf(sale, byId)) now.set(name, sale.id);
    if (doubled.has(sale.id)) continue;
    const { day, paid: way, total: amount } = sale;
    if (way === "not_yet") unpaid.set(sale.id, amount);
    else if (amount !== 0) received.push({ day, way, amount });
  }
  for (const { id, about, day, way, amount } of standing(payments)) {
    if (doubled.has(id)) continue;
    received.push({ day, way, amount });
    const sale = now.get(about);
    if (sale !== undefined && !doubled.has(sale)) {
      unpaid.set(sale, (unpaid.get(sale) ?? 0) - amount);
    }
  }
  const left = [...unpaid].filter(([, due]) => due !== 0);
  return { received: received.sort(inOrder), unpaid: new Map(left), doubled };
}

function inOrder(a: Received, b: Received): number {
  const [one, other] = [`${a.day} ${a.way}`, `${b.day} ${b.way}`];
  return one === other ? a.amount - b.amount : one < other ? -1 : 1;
}
