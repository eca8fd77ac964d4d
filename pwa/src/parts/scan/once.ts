/** Of what the camera sees from look to look: each code once, for as long as it stays in sight. */

/** A hand trembles, and a look or two may find nothing: only after so long is a code gone. */
export const GONE_AFTER_MS = 1_500;

/** Returns a function that is told what each look saw, and says which code is new. */
export function onceInSight(): (seen: string | null, at: number) => string | null {
  let code: string | null = null;
  let lastSeen = 0;
  return (seen, at) => {
    if (at - lastSeen >= GONE_AFTER_MS) code = null;
    if (seen === null) return null;
    lastSeen = at;
    if (seen === code) return null;
    code = seen;
    return seen;
  };
}
