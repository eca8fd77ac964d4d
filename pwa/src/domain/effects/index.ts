/**
 * The local effect of every command, as changes to rows. Pure: the store replays pending commands through
 * this on top of the base rows, as often as it likes.
 */
import type { CommandName } from "../commands";
import type { Change, Effect, Made } from "./change";
import * as intake from "./intake";
import * as kit from "./kit";
import * as people from "./people";
import * as photos from "./photos";
import * as schedule from "./schedule";
import * as loneWork from "./lone-work";
import * as takings from "./takings";
import * as trips from "./trips";
import * as visits from "./visits";

export type { AnyRow, Change, Made } from "./change";

const EFFECTS: { [N in CommandName]: Effect<N> } = {
  register_client: people.registerClient,
  amend_client: people.amendClient,
  merge_clients: people.mergeClients,
  assign_client: people.assignClient,
  unassign_client: people.unassignClient,
  register_facility: people.registerFacility,
  import_residents: people.importResidents,
  amend_facility: people.amendFacility,
  assign_facility: people.assignFacility,
  register_staff: people.registerStaff,
  revoke_device: people.revokeDevice,
  set_offline_lease: people.setOfflineLease,
  choose_roads: people.chooseRoads,
  adopt_practice_rules: people.adoptPracticeRules,
  set_money: takings.setMoney,
  record_screen: intake.recordScreen,
  record_foot_check: intake.recordFootCheck,
  mark_entered_in_error: intake.markEnteredInError,
  sign_consent: intake.signConsent,
  record_consent_sheet: intake.recordConsentSheet,
  withdraw_consent: intake.withdrawConsent,
  offer_signing: intake.offerSigning,
  end_signing: intake.endSigning,
  record_referral_step: intake.recordReferralStep,
  record_referral_answer: intake.recordReferralAnswer,
  record_clearance: intake.recordClearance,
  withdraw_clearance: intake.withdrawClearance,
  record_photo: photos.recordPhoto,
  remove_photo: photos.removePhoto,
  book_visit: schedule.bookVisit,
  move_booking: schedule.moveBooking,
  arrange_visits: schedule.arrangeVisits,
  book_series: schedule.bookSeries,
  cancel_series: schedule.cancelSeries,
  plan_round: schedule.planRound,
  close_round: schedule.closeRound,
  cancel_round: schedule.cancelRound,
  cancel_booking: schedule.cancelBooking,
  record_not_seen: schedule.recordNotSeen,
  wait_for_visit: schedule.waitForVisit,
  stop_waiting: schedule.stopWaiting,
  set_working_week: schedule.setWorkingWeek,
  set_base: schedule.setBase,
  add_time_off: schedule.addTimeOff,
  remove_time_off: schedule.removeTimeOff,
  share_calendar: schedule.shareCalendar,
  end_calendar: schedule.endCalendar,
  register_thing: kit.registerThing,
  amend_thing: kit.amendThing,
  move_set: kit.moveSet,
  mix_solution: kit.mixSolution,
  throw_away_solution: kit.throwAwaySolution,
  start_load: kit.startLoad,
  end_load: kit.endLoad,
  record_machine_check: kit.recordMachineCheck,
  change_stock: kit.changeStock,
  sign_checklist: kit.signChecklist,
  give_set: kit.giveSet,
  start_watch: loneWork.startWatch,
  move_watch: loneWork.moveWatch,
  end_watch: loneWork.endWatch,
  record_paper: loneWork.recordPaper,
  remove_paper: loneWork.removePaper,
  register_vehicle: trips.registerVehicle,
  amend_vehicle: trips.amendVehicle,
  record_travel: trips.recordTravel,
  set_price_item: takings.setPriceItem,
  set_price: takings.setPrice,
  record_sale: takings.recordSale,
  record_payment: takings.recordPayment,
  issue_invoice: takings.issueInvoice,
  void_invoice: takings.voidInvoice,
  change_bag: takings.changeBag,
  start_visit: visits.startVisit,
  complete_visit: visits.completeVisit,
  report_mishap: visits.reportMishap,
  add_to_mishap: visits.addToMishap,
  close_mishap: visits.closeMishap,
  close_incident: visits.closeIncident,
};

export const COMMAND_NAMES = Object.keys(EFFECTS) as CommandName[];

/** A command that this version of the app does not know has no local effect; it is still sent. */
export function changesOf(name: string, args: Record<string, unknown>, made: Made): Change[] {
  if (!Object.hasOwn(EFFECTS, name)) return [];
  const effect = EFFECTS[name as CommandName] as unknown as (
    args: Record<string, unknown>,
    made: Made,
  ) => Change[];
  return effect(args, made);
}
