/** What people enter on their phones: every command, with arguments that fit what the phone shows. */
import type {
  CommandArgs,
  CommandName,
} from "../../../pwa/src/domain/commands";
import * as care from "./care_deeds";
import type { Deed, Doing, Hand } from "./hand";
import * as kit from "./kit_deeds";
import * as loneWork from "./lone_work_deeds";
import * as people from "./people_deeds";
import type { Random } from "./random";
import * as takings from "./takings_deeds";
import * as trips from "./trips_deeds";
import * as waiting from "./waiting_deeds";

const ANY = "owner technician coordinator";
const CARE = "owner technician";

const CHOICES: readonly (readonly [
  name: CommandName,
  weight: number,
  who: string,
  Doing,
])[] = [
  ["register_client", 10, ANY, people.registerClient],
  ["amend_client", 10, ANY, people.amendClient],
  ["merge_clients", 4, "owner", people.mergeClients],
  ["assign_client", 6, CARE, people.assignClient],
  ["unassign_client", 8, "owner", people.unassignClient],
  ["register_facility", 4, "owner", people.registerFacility],
  ["assign_facility", 4, "owner", people.assignFacility],
  ["import_residents", 2, "owner coordinator", people.importResidents],
  ["amend_facility", 2, "owner coordinator", people.amendFacility],
  ["set_offline_lease", 2, "owner", people.setOfflineLease],
  ["choose_roads", 1, "owner", people.chooseRoads],
  ["close_incident", 5, "owner", people.closeIncident],
  ["record_screen", 8, CARE, care.recordScreen],
  ["record_foot_check", 5, CARE, care.recordFootCheck],
  ["mark_entered_in_error", 7, CARE, care.markEnteredInError],
  ["sign_consent", 4, CARE, care.signConsent],
  ["record_consent_sheet", 3, CARE, care.recordConsentSheet],
  ["offer_signing", 2, CARE, care.offerSigning],
  ["end_signing", 4, CARE, care.endSigning],
  ["withdraw_consent", 2, CARE, care.withdrawConsent],
  ["record_clearance", 3, CARE, care.recordClearance],
  ["withdraw_clearance", 2, CARE, care.withdrawClearance],
  ["record_referral_step", 5, CARE, care.referralStep],
  ["record_referral_answer", 4, CARE, care.answerReferral],
  ["record_photo", 3, CARE, care.recordPhoto],
  ["book_visit", 8, ANY, care.bookVisit],
  ["move_booking", 5, ANY, care.moveBooking],
  ["arrange_visits", 3, ANY, care.arrangeVisits],
  ["plan_round", 6, "owner coordinator", care.planRound],
  ["close_round", 7, ANY, care.closeRound],
  ["cancel_round", 5, "owner coordinator", care.cancelRound],
  ["cancel_booking", 3, ANY, care.cancelBooking],
  ["book_series", 4, ANY, care.bookSeries],
  ["cancel_series", 6, ANY, care.cancelSeries],
  ["wait_for_visit", 3, ANY, waiting.waitForVisit],
  ["stop_waiting", 3, ANY, waiting.stopWaiting],
  ["record_not_seen", 3, CARE, care.recordNotSeen],
  ["set_working_week", 1, CARE, care.setWorkingWeek],
  ["set_base", 1, CARE, care.setBase],
  ["add_time_off", 2, CARE, care.addTimeOff],
  ["remove_time_off", 4, CARE, care.removeTimeOff],
  ["share_calendar", 2, ANY, people.shareCalendar],
  ["end_calendar", 3, ANY, people.endCalendar],
  ["start_visit", 4, CARE, care.startVisit],
  ["complete_visit", 4, CARE, care.completeVisit],
  ["report_mishap", 3, CARE, care.reportMishap],
  ["add_to_mishap", 5, CARE, care.addToMishap],
  ["close_mishap", 5, "owner", care.closeMishap],
  ["register_thing", 4, CARE, kit.registerThing],
  ["amend_thing", 2, CARE, kit.amendThing],
  ["move_set", 8, CARE, kit.moveSet],
  ["start_load", 3, CARE, kit.startLoad],
  ["end_load", 4, CARE, kit.endLoad],
  ["mix_solution", 3, CARE, kit.mixSolution],
  ["throw_away_solution", 3, CARE, kit.throwAwaySolution],
  ["record_machine_check", 2, CARE, kit.checkMachine],
  ["change_stock", 2, CARE, kit.changeStock],
  ["sign_checklist", 1, CARE, kit.signChecklist],
  ["give_set", 3, CARE, kit.giveSet],
  ["start_watch", 3, CARE, loneWork.startWatch],
  ["move_watch", 2, CARE, loneWork.moveWatch],
  ["end_watch", 2, CARE, loneWork.endWatch],
  ["record_paper", 3, CARE, loneWork.recordPaper],
  ["remove_paper", 2, CARE, loneWork.removePaper],
  ["register_vehicle", 2, CARE, trips.registerVehicle],
  ["amend_vehicle", 3, CARE, trips.amendVehicle],
  ["record_travel", 3, CARE, trips.recordTravel],
  ["set_money", 2, "owner", takings.setMoney],
  ["set_price_item", 3, "owner", takings.setPriceItem],
  ["set_price", 7, "owner", takings.setPrice],
  ["record_sale", 4, CARE, takings.recordSale],
  ["record_payment", 4, CARE, takings.recordPayment],
  ["issue_invoice", 4, "owner", takings.issueInvoice],
  ["void_invoice", 2, "owner", takings.voidInvoice],
  ["change_bag", 4, CARE, takings.changeBag],
];

// What chance seldom leads up to, from its beginning.
const CHAINS: Partial<Record<CommandName, (hand: Hand) => Promise<Deed[]>>> = {
  assign_facility: people.houseWithSomebody,
  start_visit: wholeVisit,
  give_set: visitWithASet,
  close_round: wholeRound,
  close_mishap: wholeMishap,
  set_price: takings.pricedItem,
  issue_invoice: takings.billedSale,
  void_invoice: takings.billTakenBack,
};
const MOST_TRIES = 3;
// Each seed favours another part of the commands: in a short run the rare ones come up too, with what they need.
const PART = 8;
const FAVOUR = 8;

function isFavoured(at: number, seed: number): boolean {
  return Math.floor(at / PART) === seed % Math.ceil(CHOICES.length / PART);
}

/** Something to do that fits the person and the phone, or else a new client. */
export async function chooseDeeds(
  hand: Hand,
  random: Random,
  seed: number,
): Promise<Deed[]> {
  const open = CHOICES.map(
    (choice, at) =>
      [choice, choice[1] * (isFavoured(at, seed) ? FAVOUR : 1)] as const,
  ).filter(([[, , who]]) => who.split(" ").includes(hand.role));
  for (let tried = 0; tried < MOST_TRIES; tried += 1) {
    const [name, , , doing] = random.weighted(open);
    const whole = hand.number(3) > 0 ? await CHAINS[name]?.(hand) : undefined;
    if (whole !== undefined && whole.length > 0) return whole;
    const args = await doing(hand);
    if (args !== null) return [{ name, args }];
  }
  const card = await people.registerClient(hand);
  return card === null ? [] : [{ name: "register_client", args: card }];
}

/** Someone new is seen at once, from the card to the start of the work. */
async function wholeVisit(hand: Hand): Promise<Deed[]> {
  const card = await people.registerClient(hand);
  if (card === null) return [];
  const { client } = card;
  const made = await care.wellPrepared(hand, client as string);
  return [{ name: "register_client", args: card }, ...made];
}

/** What went wrong is told and closed. */
async function wholeMishap(hand: Hand): Promise<Deed[]> {
  const told = await care.reportMishap(hand);
  if (told === null) return [];
  const { mishap } = told;
  const closed = {
    mishap,
    entry: hand.id(),
    seen: null,
    note: "Talked over",
  };
  return [
    { name: "report_mishap", args: told },
    { name: "close_mishap", args: closed },
  ];
}

/** Nobody of it is seen, and it ends. */
async function wholeRound(hand: Hand): Promise<Deed[]> {
  if (hand.role === "coordinator") return [];
  const planned = await care.roundsOf(hand);
  if (planned.length === 0) return [];
  const { round, seen, stops } = hand.one(planned);
  const unseen = stops.map(({ booking }): Deed => {
    return {
      name: "record_not_seen",
      args: { booking, code: "asleep", reason: "" },
    };
  });
  return [...unseen, { name: "close_round", args: { round, seen, note: "" } }];
}

async function visitWithASet(hand: Hand): Promise<Deed[]> {
  const made = await wholeVisit(hand);
  const begun = made.find(({ name }) => name === "start_visit")?.args;
  const used = await kit.usedSet(hand);
  if (begun === undefined || used === null) return made;
  const { visit, client } = begun;
  return [...made, { name: "give_set", args: { ...used, visit, client } }];
}

export function asArgs<N extends CommandName>(deed: Deed): CommandArgs[N] {
  return deed.args as unknown as CommandArgs[N];
}
