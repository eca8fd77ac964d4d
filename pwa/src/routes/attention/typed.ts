/** Everything that was typed into a command, line by line, so that a person can read and reuse it. */
export interface Typed {
  field: string;
  value: string;
}

export function typedIn(args: Readonly<Record<string, unknown>>, under = ""): Typed[] {
  return Object.entries(args).flatMap(([name, value]) =>
    lines(under + name.replaceAll("_", " "), value),
  );
}

function lines(field: string, value: unknown): Typed[] {
  if (value === null || value === undefined || value === "") return [];
  if (Array.isArray(value)) {
    if (value.every((each) => typeof each !== "object"))
      return [{ field, value: value.join(", ") }];
    return value.flatMap((each: unknown, at) => lines(`${field} ${String(at + 1)}`, each));
  }
  if (typeof value === "object") return typedIn(value as Record<string, unknown>, `${field}: `);
  return [{ field, value: typeof value === "string" ? value : JSON.stringify(value) }];
}
