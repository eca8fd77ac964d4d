/** Where each measure of a crack lies on its chart: time to the right, millimetres upwards from zero. */
import type { Measure } from "../../domain/feet/trails";

export interface Dot {
  x: number;
  y: number;
  mm: number;
  at: string;
  worked: boolean;
}

export interface Plot {
  dots: Dot[];
  /** What the top line stands for, in mm. */
  top_mm: number;
}

export const BOX = { width: 320, height: 140, left: 64, right: 10, top: 28, bottom: 28 } as const;

export function plot(measures: readonly Measure[], of: "length" | "depth"): Plot {
  const taken = measures.flatMap((one) => {
    const mm = one[`${of}_mm`];
    return mm === null ? [] : [{ mm, at: one.at, worked: one.worked }];
  });
  const times = taken.map(({ at }) => Date.parse(at));
  const [first, last] = [Math.min(...times), Math.max(...times)];
  const top_mm = Math.max(1, Math.ceil(Math.max(0, ...taken.map(({ mm }) => mm))));
  const wide = BOX.width - BOX.left - BOX.right;
  const high = BOX.height - BOX.top - BOX.bottom;
  const across = (at: string) => (last === first ? 0.5 : (Date.parse(at) - first) / (last - first));
  const dots = taken.map((one) => ({
    ...one,
    x: BOX.left + wide * across(one.at),
    y: BOX.height - BOX.bottom - (high * one.mm) / top_mm,
  }));
  return { dots, top_mm };
}
