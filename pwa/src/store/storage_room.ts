/** Whether the browser's room for this app runs short. */

/** Bytes. Several days of work without a connection: a day of visits with drawings is well below 1 MB. */
const ENOUGH = 20_000_000;

export function isNearlyFull({ quota, usage }: StorageEstimate): boolean {
  return quota !== undefined && usage !== undefined && quota - usage < ENOUGH;
}
