/** What something costs on a day. The twin is takings/rules/prices.py; both run tests/parity/takings.json. */

/** From `starts` on, at a facility or, without one, anywhere else. Those of an item stand in the order in which they were set. */
export interface Price {
  facility: string | null;
  starts: string;
  /** null: the facility has no price of its own any more. */
  amount: string | null;
}

/** The latest to have started; of two that start on one day, the one that was set last. */
export function priceOn<P extends Price>(
  prices: readonly P[],
  facility: string | null,
  day: string,
): P | null {
  const started = prices.filter(({ starts }) => starts <= day);
  const own = facility === null ? null : latest(started, facility);
  return own !== null && own.amount !== null ? own : latest(started, null);
}

function latest<P extends Price>(started: readonly P[], facility: string | null): P | null {
  let found: P | null = null;
  for (const price of started) {
    if (price.facility === facility && (found === null || price.starts >= found.starts)) {
      found = price;
    }
  }
  return found;
}
