/** What the commands about working alone do to the phone's rows. */
import { amend, type Effect, put, remove } from "./change";

export const startWatch: Effect<"start_watch"> = ({ watch, ...told }, { staff, at }) => [
  {
    kind: "watch",
    id: null,
    scope: null,
    becomes: (row) =>
      row?.["staff"] === staff && row["ended_at"] === null ? { ...row, ended_at: at } : row,
  },
  put(
    "watch",
    watch,
    { ...told, staff, began_at: at, ended_at: null, alarm: "none", alarm_at: null },
    null,
  ),
];

export const moveWatch: Effect<"move_watch"> = ({ watch, back_by }) => [
  amend("watch", watch, (row) =>
    row.ended_at === null ? { back_by, alarm: "none", alarm_at: null } : {},
  ),
];

export const endWatch: Effect<"end_watch"> = ({ watch }, { at }) => [
  amend("watch", watch, (row) => ({ ended_at: row.ended_at ?? at })),
];

export const recordPaper: Effect<"record_paper"> = ({ paper, seen: _, ...told }) => [
  put("paper", paper, told, told.staff),
];

export const removePaper: Effect<"remove_paper"> = ({ paper }) => [remove("paper", paper)];
