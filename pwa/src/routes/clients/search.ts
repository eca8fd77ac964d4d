/** Which clients a few typed letters mean. Every typed word must begin a word of name, room or place. */
import type { Held } from "../../store";

export function found(
  clients: readonly Held<"client">[],
  typed: string,
): readonly Held<"client">[] {
  const wanted = pieces(typed);
  return clients
    .filter(({ row }) => {
      const there = pieces([row.name, row.room, row.address, row.phone].join(" "));
      return wanted.every((word) => there.some((each) => each.startsWith(word)));
    })
    .toSorted((a, b) => a.row.name.localeCompare(b.row.name));
}

function pieces(text: string): string[] {
  return text
    .normalize("NFD")
    .replace(/\p{M}/gu, "")
    .toLowerCase()
    .split(/[^\p{L}\p{N}]+/u)
    .filter(Boolean);
}
