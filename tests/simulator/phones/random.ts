/** Numbers that look random and are the same for the same seed (mulberry32, public domain). */
export class Random {
  #state: number;

  constructor(seed: number) {
    this.#state = (Math.imul(seed, 0x9e3779b1) ^ 0x5bd1e995) >>> 0;
  }

  /** From 0 up to, and not including, 1. */
  next(): number {
    this.#state = (this.#state + 0x6d2b79f5) >>> 0;
    let mixed = this.#state;
    mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  }

  below(limit: number): number {
    return Math.floor(this.next() * limit);
  }

  chance(part: number): boolean {
    return this.next() < part;
  }

  weighted<T>(choices: readonly (readonly [T, number])[]): T {
    let left =
      this.next() * choices.reduce((sum, [, weight]) => sum + weight, 0);
    for (const [choice, weight] of choices) {
      left -= weight;
      if (left < 0) return choice;
    }
    return pick(choices, 0)[0];
  }
}

/** One of them by any number; throws where there are none. */
export function pick<T>(all: readonly T[], number: number): T {
  const chosen = all[number % all.length];
  if (chosen === undefined) throw new Error("nothing to choose from");
  return chosen;
}
