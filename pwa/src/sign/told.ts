/** What the page says while nothing can be answered on it. Pure. */
import type { IconName } from "../parts/icons";
import type { OwnPhoneWord } from "../words/own-phone";
import type { Phase } from "./course";
import { MANY_TRIES, type Wait } from "./heard";

export interface Said {
  icon: IconName;
  title: OwnPhoneWord;
  lines: readonly OwnPhoneWord[];
  /** It goes on by itself, and a tap makes it go on now. */
  waits: boolean;
}
type Spoken = Exclude<Phase, { at: "asking" }>;

const WAITS: Record<Wait, readonly OwnPhoneWord[]> = {
  no_line: ["no_line_means"],
  not_yet: ["not_yet_means", "not_yet_wrong", "not_yet_still"],
  trouble: ["trouble_means"],
};

/** null: the link is not whole. */
export function saidOf(phase: Spoken | null): Said {
  if (phase === null) return { icon: "limit", title: "part", lines: ["part_means"], waits: false };
  switch (phase.at) {
    case "opening":
      return beingOpened(phase);
    case "sending":
      return beingSent(phase);
    case "done":
      return { icon: "ok", title: "done", lines: ["done_means", "done_gone"], waits: false };
    case "ended":
      return over(phase);
  }
}

function beingOpened({ wait, tries }: Extract<Phase, { at: "opening" }>): Said {
  if (wait === null) return { icon: "wait", title: "wait", lines: ["opening"], waits: false };
  // It goes on trying: the technician may be where there is no signal.
  if (wait === "not_yet" && tries >= MANY_TRIES) {
    const lines = ["unknown_means", "unknown_signal"] as const;
    return { icon: "limit", title: "unknown", lines, waits: true };
  }
  return { icon: "wait", title: wait, lines: WAITS[wait], waits: true };
}

function beingSent({ wait, kept }: Extract<Phase, { at: "sending" }>): Said {
  const why: readonly OwnPhoneWord[] =
    wait === null ? [] : wait === "no_line" ? ["sent_no_line"] : ["trouble_means"];
  return {
    icon: "send",
    title: kept ? "kept" : "not_kept",
    lines: kept ? ["kept_means", ...why, "kept_later"] : ["not_kept_means", ...why],
    waits: wait !== null,
  };
}

function over({ end, sent }: Extract<Phase, { at: "ended" }>): Said {
  if (end === "answered") {
    return {
      icon: "info",
      title: "answered",
      lines: ["answered_means", "answered_not_you"],
      waits: false,
    };
  }
  if (end === "over" && sent) {
    return { icon: "limit", title: "late", lines: ["late_means"], waits: false };
  }
  if (end === "refused" && !sent) {
    return { icon: "limit", title: "refused_open", lines: ["refused_means"], waits: false };
  }
  return { icon: "limit", title: end, lines: [`${end}_means`], waits: false };
}
