/**
 * The foot map's geometry: our own drawing of the right foot, sole towards the viewer and toes up,
 * cut into named regions. The other three drawings are this one mirrored.
 */
export const FEET = ["right", "left"] as const;
export const VIEWS = ["sole", "top"] as const;
export type Foot = (typeof FEET)[number];
export type View = (typeof VIEWS)[number];

interface Shape {
  id: string;
  d: string;
  /** Where a mark or a label sits. */
  at: readonly [number, number];
  /** Drawn outside the foot's outline, so not clipped to it. */
  free?: true;
}

export const BOX = { width: 260, height: 500 } as const;

export const OUTLINE =
  "M214 118C236 136 238 172 226 204C214 240 198 268 196 304C195 344 214 376 212 416" +
  "C208 462 184 490 148 490C112 490 88 462 84 420C82 380 74 342 60 298C42 252 20 208 22 168" +
  "C24 146 40 136 58 130C90 114 120 102 152 102C180 102 202 106 214 118Z";

const TOES = [
  { id: "toe_1", cx: 196, cy: 62, rx: 31, ry: 46 },
  { id: "toe_2", cx: 143, cy: 54, rx: 19, ry: 38 },
  { id: "toe_3", cx: 104, cy: 66, rx: 17, ry: 34 },
  { id: "toe_4", cx: 69, cy: 86, rx: 16, ry: 30 },
  { id: "toe_5", cx: 36, cy: 112, rx: 15, ry: 27 },
] as const;

const GAPS = [
  { id: "between_1_2", cx: 166, cy: 106 },
  { id: "between_2_3", cx: 124, cy: 104 },
  { id: "between_3_4", cx: 87, cy: 116 },
  { id: "between_4_5", cx: 54, cy: 136 },
] as const;

function ellipse(cx: number, cy: number, rx: number, ry: number): string {
  const across = String(2 * rx);
  return `M${String(cx - rx)} ${String(cy)}a${String(rx)} ${String(ry)} 0 1 0 ${across} 0a${String(rx)} ${String(ry)} 0 1 0 -${across} 0Z`;
}

const toes: Shape[] = TOES.map(({ id, cx, cy, rx, ry }) => ({
  id,
  d: ellipse(cx, cy, rx, ry),
  at: [cx, cy],
  free: true,
}));

const gaps: Shape[] = GAPS.map(({ id, cx, cy }) => ({
  id,
  d: ellipse(cx, cy, 13, 13),
  at: [cx, cy],
  free: true,
}));

// Later ones lie on top, so the curves between regions are drawn once, by the upper one.
const sole: Shape[] = [
  { id: "arch", d: "M60 190H260V400H60Z", at: [152, 296] },
  { id: "outer_side", d: "M0 190H104C108 260 110 320 118 400H0Z", at: [84, 296] },
  { id: "ball_outer", d: "M0 90H92V232Q60 228 0 205Z", at: [58, 178] },
  { id: "ball_middle", d: "M92 90H158V233Q125 238 92 232Z", at: [125, 176] },
  { id: "ball_inner", d: "M158 90H260V205Q200 229 158 233Z", at: [194, 170] },
  { id: "heel_outer", d: "M60 382Q100 368 122 366V460H60Z", at: [104, 410] },
  { id: "heel_centre", d: "M122 366Q148 364 174 366V460H122Z", at: [148, 410] },
  { id: "heel_inner", d: "M174 366Q200 368 240 382V460H174Z", at: [192, 410] },
  { id: "heel_back", d: "M60 440Q148 466 240 440V500H60Z", at: [148, 472] },
];

const top: Shape[] = [
  { id: "instep", d: "M0 190H260V360H0Z", at: [132, 284] },
  { id: "top_front", d: "M0 90H260V215Q130 245 0 215Z", at: [126, 172] },
  { id: "ankle_outer", d: "M40 348Q90 338 118 336V500H40Z", at: [100, 404] },
  { id: "ankle_front", d: "M118 336Q146 334 174 336V500H118Z", at: [146, 404] },
  { id: "ankle_inner", d: "M174 336Q200 338 240 348V500H174Z", at: [194, 404] },
];

export const REGIONS: Record<View, readonly Shape[]> = {
  sole: [...sole, ...toes, ...gaps],
  top: [...top, ...toes, ...gaps],
};

export const NAILS: readonly string[] = TOES.map(({ cx, cy, rx, ry }) =>
  ellipse(cx, cy - ry * 0.42, rx * 0.55, ry * 0.4),
);

/**
 * The right foot's sole has its big toe on the right. As one sits facing the client, the sole shows
 * toes up and the top shows toes down; both have the big toe towards the middle.
 */
export function turned(foot: Foot, view: View): string {
  const flipX = foot === "left";
  const flipY = view === "top";
  const { width, height } = BOX;
  return `translate(${String(flipX ? width : 0)} ${String(flipY ? height : 0)}) scale(${flipX ? "-1" : "1"} ${flipY ? "-1" : "1"})`;
}

export function place(at: readonly [number, number], foot: Foot, view: View): [number, number] {
  return [foot === "left" ? BOX.width - at[0] : at[0], view === "top" ? BOX.height - at[1] : at[1]];
}
