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

const sole: Shape[] = [
  { id: "ball_outer", d: "M0 90H92V212H0Z", at: [58, 178] },
  { id: "ball_middle", d: "M92 90H158V222H92Z", at: [125, 172] },
  { id: "ball_inner", d: "M158 90H260V212H158Z", at: [194, 166] },
  { id: "outer_side", d: "M0 212H92L104 222L112 372H0Z", at: [84, 292] },
  { id: "arch", d: "M92 222H158V212H260V372H112Z", at: [152, 292] },
  { id: "heel_outer", d: "M60 372H122V450H60Z", at: [104, 414] },
  { id: "heel_centre", d: "M122 372H174V450H122Z", at: [148, 414] },
  { id: "heel_inner", d: "M174 372H240V450H174Z", at: [192, 414] },
  { id: "heel_back", d: "M60 450H240V500H60Z", at: [148, 469] },
];

const top: Shape[] = [
  { id: "top_front", d: "M0 90H260V220H0Z", at: [126, 170] },
  { id: "instep", d: "M0 220H260V340H0Z", at: [132, 280] },
  { id: "ankle_outer", d: "M40 340H118V500H40Z", at: [100, 400] },
  { id: "ankle_front", d: "M118 340H174V500H118Z", at: [146, 400] },
  { id: "ankle_inner", d: "M174 340H260V500H174Z", at: [194, 400] },
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
