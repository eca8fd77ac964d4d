/** Puts values into a message. Knows no catalogue. */
export type Values = Record<string, string | number>;

export function fill(text: string, values: Values): string {
  return text.replace(/\{(\w+)\}/g, (whole, name: string) => {
    const value = values[name];
    return value === undefined ? whole : String(value);
  });
}
