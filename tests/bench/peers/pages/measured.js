/** What every peer's page shares: a stop-watch, JSON over HTTP, and the edit that each of them makes. */

/** Milliseconds that `work` took. */
export async function took(work) {
  const began = performance.now();
  await work();
  return performance.now() - began;
}

export async function ask(path, body) {
  const reply = await fetch(path, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(body),
  });
  if (!reply.ok) throw new Error(`${path} answered ${reply.status}: ${await reply.text()}`);
  return reply.json();
}

/** The row of a client's card with another note. */
export function edited(row, number) {
  return { ...row, note: noteOf(number) };
}

export function noteOf(number) {
  return `Edit ${number}: rings twice, the dog is friendly, key under the third pot.`;
}

export function check(fact, message) {
  if (!fact) throw new Error(message);
}
