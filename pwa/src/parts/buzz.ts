/** A short buzz, where the phone has one. */
const SHORT_MS = 60;
/** Three times, to be felt in a pocket. */
export const THRICE = [300, 150, 300, 150, 300];

export function buzz(pattern: number | number[] = SHORT_MS): void {
  if ("vibrate" in navigator) navigator.vibrate(pattern);
}
