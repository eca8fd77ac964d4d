/** The app's signs, drawn on a 24 by 24 grid as one stroke each. */
export const ICONS = {
  ok: "M4 13l5 5L20 6",
  info: "M12 11v7M12 6.5v.5M12 2.5a9.5 9.5 0 1 1 0 19 9.5 9.5 0 0 1 0-19",
  limit: "M12 3l10 18H2zM12 10v5M12 17.6v.4",
  wait: "M7 3h10M7 21h10M8 3c0 5 8 5 8 9s-8 4-8 9M16 3c0 5-8 5-8 9s8 4 8 9",
  stop: "M8 2.5h8L21.5 8v8L16 21.5H8L2.5 16V8zM8 12h8",
  alarm: "M8 2.5h8L21.5 8v8L16 21.5H8L2.5 16V8zM12 7v6M12 16v.6",
  day: "M6 4v16M6 7h12M6 12h9M6 17h12",
  people:
    "M9 11a4 4 0 1 0 0-8 4 4 0 0 0 0 8M2 21c0-5 3-7 7-7s7 2 7 7M16 4a4 4 0 0 1 0 7M18 14c3 1 4 3 4 7",
  flag: "M5 22V3M5 4h13l-3 4.5 3 4.5H5",
  more: "M4 7h16M4 12h16M4 17h16",
  back: "M14 5l-7 7 7 7",
  next: "M10 5l7 7-7 7",
  lock: "M6 11h12v10H6zM8.5 11V8a3.5 3.5 0 0 1 7 0v3",
  clock: "M12 2.5a9.5 9.5 0 1 1 0 19 9.5 9.5 0 0 1 0-19M12 7v5.5l4 2",
  diamond: "M7 4h10l4.5 5.5L12 21 2.5 9.5zM2.5 9.5h19M9 9.5L12 21l3-11.5",
  send: "M12 20V5M6 11l6-6 6 6",
  save: "M12 4v11M7 10l5 5 5-5M5 20h14",
  print: "M7 8V3h10v5M5 8h14v9h-3v4H8v-4H5zM8 15h8",
  plus: "M12 4v16M4 12h16",
  cross: "M6 6l12 12M18 6L6 18",
  pen: "M4 20l1-5L16 4l4 4L9 19z",
  home: "M3 12l9-8 9 8M6 10v10h12V10",
  camera: "M3 7h4l2-3h6l2 3h4v13H3zM12 9.5a4 4 0 1 1 0 8 4 4 0 0 1 0-8",
  phone: "M6 3h4l2 5-2.5 2a12 12 0 0 0 4.5 4.5l2-2.5 5 2v4c0 1-1 2-2 2C11 20 4 13 4 5c0-1 1-2 2-2",
} as const;
export type IconName = keyof typeof ICONS;
