/** Times of the clock on the wall, as HH:MM and as minutes of the day. */

export function minuteOf(clock: string): number {
  const [hours = 0, minutes = 0] = clock.split(":").map(Number);
  return hours * 60 + minutes;
}

export function clockAt(minute: number): string {
  const two = (part: number) => String(part).padStart(2, "0");
  return `${two(Math.floor(minute / 60))}:${two(minute % 60)}`;
}
