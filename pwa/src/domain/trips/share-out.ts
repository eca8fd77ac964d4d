/**
 * A whole number shared out in proportion, so that the parts add up to it: each part rounded down, and what is left
 * over to those that lost most by it (largest remainder), the earlier one first where two lost alike.
 */
export function shareOut(total: number, weights: readonly number[]): number[] {
  const sum = weights.reduce((all, weight) => all + weight, 0);
  const by = sum > 0 ? weights : weights.map(() => 1);
  const all = sum > 0 ? sum : weights.length;
  const parts = by.map((weight) => Math.floor((total * weight) / all));
  const left = total - parts.reduce((added, part) => added + part, 0);
  const most = by
    .map((weight, place) => ({ place, lost: (total * weight) % all }))
    .sort((a, b) => b.lost - a.lost || a.place - b.place)
    .slice(0, left);
  for (const { place } of most) parts[place] = (parts[place] ?? 0) + 1;
  return parts;
}
