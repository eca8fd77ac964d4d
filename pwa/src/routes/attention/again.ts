/**
 * Brings what was typed into a refused command back onto the screen it was typed on.
 * Says which draft that screen reads, what stands in it, and where the screen is.
 */
import type { CommandArgs, CommandName } from "../../domain/commands";
import { blankChange, whenOf } from "../booking/change";
import { blankRepeat, repeatOf } from "../booking/repeat";
import { blankBase } from "../hours/base-form";
import { weekForm } from "../hours/hours-form";
import { blankForm, cardOf } from "../client/card-form";
import { saidOf } from "../clearance/limits-of";
import { blankConsent } from "../consent/form";
import { billAgain } from "../invoices/bill";
import { blankHouse } from "../facilities/house-form";
import { blankFeet } from "../foot-check/form";
import { blankScreen } from "../health-screen/form";
import { blankThing, formOf as thingOf } from "../kit/form";
import { cycleOf, NEW_CYCLE } from "../kit-cycle/form";
import { checkTold } from "../kit-machine/form";
import { mixAsked } from "../kit-mix/form";
import { blankItem } from "../prices/form";
import { linesBack } from "../takings/form";
import { blankVehicle, dayOf } from "../miles/form";
import { blankLater, formOf } from "../mishap/form";
import { formOf as roundForm } from "../round/plan";
import { blankRoundDay } from "../round/round-day";
import { blankRules } from "../rules/own-form";
import { blankVisit } from "../visit/form";
import { wishForm } from "../waiting/form";
import { kitOf } from "../visit/kit-form";
import { dayKey } from "../../words/format";

export interface Again {
  draft: string;
  value: object;
  to: string;
}

type Back<N extends CommandName> = (args: CommandArgs[N]) => Again;

const BACK: { [N in CommandName]?: Back<N> } = {
  register_client: (args) => ({
    draft: "card/new",
    value: { ...blankForm(), card: cardOf(args) },
    to: "/clients/new",
  }),
  amend_client: ({ client, changes }) => ({
    draft: `card/${client}`,
    value: { ...blankForm(), again: changes },
    to: `/client/${client}/edit`,
  }),
  register_staff: ({ name, email, role }) => ({
    draft: "person/new",
    value: { name, email, role },
    to: "/team/new",
  }),
  register_facility: ({ name, address, phone }) => ({
    draft: "facility/new",
    value: { name, address, phone },
    to: "/facilities/new",
  }),
  amend_facility: ({ facility, changes }) => ({
    draft: `facility/${facility}`,
    value: { ...blankHouse(), again: changes },
    to: `/facility/${facility}/edit`,
  }),
  register_thing: ({ label, card }) => ({
    draft: `kit/new/${card.kind}`,
    value: { ...blankThing(card.kind), label, card: thingOf(card) },
    to: `/kit/new/${card.kind}`,
  }),
  // Over the card as it is now, which the form shows beside.
  amend_thing: ({ thing, card }) => ({
    draft: `kit/${thing}`,
    value: { ...blankThing(card.kind), again: thingOf(card) },
    to: `/kit/${thing}/edit`,
  }),
  start_load: (args) => ({
    draft: NEW_CYCLE,
    value: cycleOf(args),
    to: "/kit/cycle/new",
  }),
  end_load: ({ load, held_minutes, celsius, indicator, note }) => ({
    draft: `kit-cycle/${load}`,
    value: { held_minutes, celsius, indicator, note },
    to: `/kit/cycle/${load}`,
  }),
  mix_solution: (args) => ({ draft: "kit-mix", value: mixAsked(args), to: "/kit/mix" }),
  record_machine_check: (args) => ({
    draft: `kit-machine/${args.machine}`,
    value: checkTold(args),
    to: `/kit/machine/${args.machine}/check`,
  }),
  record_sale: ({ visit, replaces, lines, currency, paid, day }) => {
    const at = replaces[0] ?? visit;
    const to = replaces[0]
      ? `/sale/${replaces[0]}/correct`
      : visit
        ? `/visit/${visit}/takings`
        : "/takings/new";
    return {
      draft: `takings/${at ?? "new"}`,
      value: { lines: linesBack(lines, currency), paid, day },
      to,
    };
  },
  issue_invoice: (args) => ({
    draft: `bill/${args.facility}/`,
    value: billAgain(args),
    to: `/facility/${args.facility}/bill`,
  }),
  set_price_item: ({ item, seen, ...again }) => ({
    draft: seen === null ? "prices/new" : `prices/${item}`,
    value: seen === null ? { ...blankItem(), ...again } : { ...blankItem(), again },
    to: seen === null ? "/prices/new" : `/prices/${item}`,
  }),
  register_vehicle: ({ vehicle: _, ...card }) => ({
    draft: "miles/vehicle/new",
    value: { ...blankVehicle(), ...card },
    to: "/miles/vehicle/new",
  }),
  amend_vehicle: ({ vehicle, seen: _, ...again }) => ({
    draft: `miles/vehicle/${vehicle}`,
    value: { ...blankVehicle(), again },
    to: `/miles/vehicle/${vehicle}`,
  }),
  record_travel: (args) => ({
    draft: `miles/day/${args.day}`,
    value: dayOf(args),
    to: `/miles/day/${args.day}`,
  }),
  record_screen: ({ client, answers, answered_by, answered_by_name, ...told }) => ({
    draft: `screen/${client}`,
    value: {
      ...blankScreen(),
      answers,
      answered_by,
      answered_by_name,
      seen: told.seen_screens,
      confirmed: told.confirmed ?? [],
      from: told.from_screen ?? null,
      day: dayKey(told.screened_at),
      begun: true,
    },
    to: `/client/${client}/screen`,
  }),
  record_foot_check: ({ client, answers, findings, seen_checks: seen }) => ({
    draft: `feet/${client}`,
    value: { ...blankFeet(), answers, findings, seen, begun: true },
    to: `/client/${client}/feet`,
  }),
  adopt_practice_rules: ({ text }) => ({
    draft: "rules/own",
    value: { ...blankRules(), text, begun: true },
    to: "/rules/own",
  }),
  sign_consent: ({
    client,
    signer_name,
    signer_role,
    authority,
    witness,
    presented,
    own_wish,
  }) => ({
    draft: `consent/${client}`,
    value: {
      ...blankConsent(),
      ...{ signer_name, signer_role, authority, presented, own_wish },
      ...{ witness, how: witness === "" ? "drawn" : "mark" },
    },
    to: `/client/${client}/consent`,
  }),
  record_consent_sheet: ({ client, decisions, signer_role, ...told }) => ({
    draft: `consent/${client}`,
    value: {
      ...blankConsent(),
      signer_role,
      purposes: decisions.map(({ purpose }) => purpose),
      answers: Object.fromEntries(decisions.map(({ purpose, agreed }) => [purpose, agreed])),
      how: told.how === "unsigned" ? "drawn" : told.how,
      signer_name: told.signer_name,
      ground: told.ground,
      authority: told.authority,
      witness: told.witness,
      language: told.language,
      presented: told.presented,
      own_wish: told.own_wish,
      said: told.said,
      place_kind: told.place_kind,
      place: told.place,
    },
    to: `/client/${client}/consent`,
  }),
  offer_signing: ({ client, signer_role, texts, ...told }) => ({
    draft: `consent/${client}`,
    value: {
      ...blankConsent(),
      signer_role,
      purposes: texts.map(({ purpose }) => purpose),
      how: told.how,
      signer_name: told.signer_name,
      ground: told.ground,
      authority: told.authority,
      witness: told.witness,
      language: told.language,
      own_wish: told.own_wish,
      place_kind: told.place_kind,
      place: told.place,
    },
    to: `/client/${client}/consent`,
  }),
  record_referral_answer: ({ referral, ...value }) => ({
    draft: `answer/${referral}`,
    value,
    to: `/referral/${referral}/answer`,
  }),
  record_clearance: ({
    client,
    clinician,
    clinician_role,
    given_on,
    expires_on,
    covers,
    scope,
    evidence_note,
    evidence_photo,
    limits = null,
  }) => ({
    draft: `clearance/${client}`,
    value: {
      ...{ clinician, clinician_role, given_on, expires_on, covers, scope },
      limits: saidOf(limits),
      evidence_note: evidence_note ?? "",
      evidence_photo: evidence_photo ?? null,
    },
    to: `/client/${client}/clearance`,
  }),
  book_visit: ({ client, ...asked }) => ({
    draft: `book/${client}`,
    value: { ...whenOf(asked), service: asked.service ?? "", repeat: blankRepeat() },
    to: `/client/${client}/book`,
  }),
  book_series: ({ client, first, clock, minutes, staff, service, rule, left_out }) => ({
    draft: `book/${client}`,
    value: {
      ...{ day: first, clock, minutes, staff, service },
      repeat: repeatOf(rule, left_out),
    },
    to: `/client/${client}/book`,
  }),
  cancel_series: ({ visits: [first], code, reason }) => ({
    draft: `booking/${first?.booking ?? ""}`,
    value: { ...blankChange(), cancel: { code, words: reason }, rest: true },
    to: `/booking/${first?.booking ?? ""}`,
  }),
  plan_round: (args) => ({
    draft: `round/${args.facility}`,
    value: roundForm(args),
    to: `/facility/${args.facility}/round`,
  }),
  close_round: ({ round, note }) => ({
    draft: `round-day/${round}`,
    value: { ...blankRoundDay(), note },
    to: `/round/${round}`,
  }),
  cancel_round: ({ round, code, reason }) => ({
    draft: `round-day/${round}`,
    value: { ...blankRoundDay(), cancel: { code, words: reason } },
    to: `/round/${round}`,
  }),
  move_booking: ({ booking, ...moved }) => ({
    draft: `booking/${booking}`,
    value: { ...blankChange(), when: whenOf(moved) },
    to: `/booking/${booking}`,
  }),
  cancel_booking: ({ booking, code, reason }) => ({
    draft: `booking/${booking}`,
    value: { ...blankChange(), cancel: { code: code ?? "", words: reason } },
    to: `/booking/${booking}`,
  }),
  record_not_seen: ({ booking, code, reason }) => ({
    draft: `booking/${booking}`,
    value: { ...blankChange(), not_seen: { code, words: reason } },
    to: `/booking/${booking}`,
  }),
  wait_for_visit: ({ client, ...wish }) => ({
    draft: `wait/${client}`,
    value: wishForm(wish, null),
    to: `/client/${client}/wait`,
  }),
  set_working_week: ({ staff, seen: _, ...week }) => ({
    draft: `hours/${staff}`,
    value: weekForm(week, null),
    to: `/hours/${staff}`,
  }),
  set_base: ({ staff, position }) => ({
    draft: `base/${staff}`,
    value: { ...blankBase(), position, begun: true },
    to: `/hours/${staff}`,
  }),
  complete_visit: ({ booking, client, ended_at, kit, ...kept }) => ({
    draft: `visit/${booking}`,
    value: { ...blankVisit(), ...kept, kit: kitOf(kit) },
    to: `/booking/${booking}/sign-off`,
  }),
  report_mishap: (args) => ({
    draft: `mishap/${args.client}`,
    value: formOf(args),
    to: `/client/${args.client}/mishap`,
  }),
  add_to_mishap: ({ mishap, entry, added_at, follow_up_on, ...added }) => ({
    draft: `mishap-later/${mishap}`,
    value: { ...blankLater(), ...added, follow_up_on: follow_up_on ?? "" },
    to: `/mishap/${mishap}`,
  }),
  close_mishap: ({ mishap, note }) => ({
    draft: `mishap-later/${mishap}`,
    value: { ...blankLater(), outcome: note },
    to: `/mishap/${mishap}`,
  }),
};

/** Null for a command that no form is typed into, such as a change of who has what. */
export function backTo(name: CommandName, args: Record<string, unknown>): Again | null {
  const back = BACK[name] as ((args: Record<string, unknown>) => Again) | undefined;
  return back ? back(args) : null;
}

/** Whether the form has been begun otherwise since: what is kept of it would be lost. */
export function isOther({ value }: Again, kept: unknown): boolean {
  if (kept === null) return false;
  const [mine, theirs] = [fields(value), fields(kept)];
  const names = new Set([...mine.keys(), ...theirs.keys()]);
  return [...names].some((name) => mine.get(name) !== theirs.get(name));
}

function fields(form: unknown): Map<string, string> {
  const entries = Object.entries(form as Record<string, unknown>);
  return new Map(entries.map(([name, value]) => [name, JSON.stringify(value)]));
}
