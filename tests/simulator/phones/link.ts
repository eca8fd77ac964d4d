/** The way to the server process: one line of JSON out, one line back, and nothing else meanwhile. */
import { readSync, writeSync } from "node:fs";

import { ground } from "./ground";

let rest = "";
const block = Buffer.alloc(1 << 16);
const decoder = new TextDecoder();

function readLine(): string {
  for (;;) {
    const end = rest.indexOf("\n");
    if (end >= 0) {
      const line = rest.slice(0, end);
      rest = rest.slice(end + 1);
      return line;
    }
    const length = readSync(0, block);
    if (length === 0) throw new Error("the server process has gone");
    rest += decoder.decode(block.subarray(0, length), { stream: true });
  }
}

export function ask<T>(what: string, more: Record<string, unknown> = {}): T {
  const line = JSON.stringify({ do: what, ...more }) + "\n";
  let bytes = Buffer.from(line);
  while (bytes.length > 0) bytes = bytes.subarray(writeSync(1, bytes));
  return JSON.parse(readLine()) as T;
}

/** With the server's clock set: true time, and how far it is off. */
export function askAt<T>(
  what: string,
  more: Record<string, unknown> = {},
  skew = 0,
): T {
  return ask(what, { now: new Date(ground.now + skew).toISOString(), ...more });
}
