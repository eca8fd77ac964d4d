/** What the rest of the app uses of the screening. */
export { DONT_KNOW, InvalidAnswers, type Problem, type ProblemCode } from "./answers";
export { ofPractice } from "./book";
export type { Bit, BookConsentText, BookJson, Group, Limit, Question, Rule } from "./book";
export { join } from "./join";
export { type FiredRule, judge, type Judgement, type OpenRule, validate } from "./judge";
export { merge, type MergedLimits } from "./limits";
export { FEET, TOUCH_SITES, TOUCH_STATES, touchable } from "./touch";
export * as confirming from "./confirming";
export type { Told } from "./confirming";
export { type EarlierScreen, type Past, type SaidBefore, saidBefore } from "./since-last";
