/** The way round the foot map: each side of each foot that there is to look at, one after the other. */
import { VIEWS, type Foot, type View } from "./regions";

export interface Part {
  id: string;
  foot: Foot;
  view: View;
}

export function partsOf(feet: readonly Foot[]): Part[] {
  return feet.flatMap((foot) => VIEWS.map((view) => ({ id: `${foot}_${view}`, foot, view })));
}

export interface Unwalked {
  /** Nobody looked at any of it, so far as is known. */
  untouched: Part[];
  /** Somebody looked where they set a mark. Of the rest nothing was said. */
  marked: Part[];
}

/** The parts of which nobody has said that they were looked at in full. */
export function unwalked(
  parts: readonly Part[],
  looked: readonly string[],
  marks: readonly Pick<Part, "foot" | "view">[],
): Unwalked {
  const left = parts.filter(({ id }) => !looked.includes(id));
  const has = (part: Part) =>
    marks.some(({ foot, view }) => foot === part.foot && view === part.view);
  return { untouched: left.filter((part) => !has(part)), marked: left.filter(has) };
}

/** The next part that was not looked at, going on from one; null once all were. */
export function nextPart(
  parts: readonly Part[],
  looked: readonly string[],
  from: string,
): Part | null {
  const place = parts.findIndex(({ id }) => id === from) + 1;
  const round = [...parts.slice(place), ...parts.slice(0, place)];
  return round.find(({ id }) => !looked.includes(id)) ?? null;
}
