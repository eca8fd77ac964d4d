/**
 * Every screen and its address. `task` marks those that take the whole phone, without the main places;
 * `roles` those that are for some roles only, as the permission table has it for what they show and send.
 */
import type { Route } from "../router";
import type { Role } from "../wire/types";

export interface AppRoute extends Route {
  task?: true;
  roles?: readonly Role[];
}

const CARE: readonly Role[] = ["owner", "technician"];

export const routes: readonly AppRoute[] = [
  { path: "today", load: () => import("./today/Today.svelte") },
  {
    path: "day/:day/order",
    load: () => import("./day-order/BestOrder.svelte"),
    task: true,
    roles: CARE,
  },
  { path: "clients", load: () => import("./clients/Clients.svelte") },
  { path: "residents", load: () => import("./clients/Residents.svelte") },
  { path: "clients/new", load: () => import("./client/EditClient.svelte"), task: true },
  { path: "client/:client", load: () => import("./client/Client.svelte") },
  { path: "client/:client/edit", load: () => import("./client/EditClient.svelte"), task: true },
  {
    path: "client/:client/screen",
    load: () => import("./health-screen/HealthScreen.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "client/:client/answers/:asked",
    load: () => import("./answers/Answers.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "client/:client/feet",
    load: () => import("./foot-check/FootCheck.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "client/:client/feet/:finding",
    load: () => import("./foot-check/FootCheck.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "client/:client/over-time",
    load: () => import("./feet-over-time/FeetOverTime.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "client/:client/outcome",
    load: () => import("./outcome/Outcome.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "client/:client/consent",
    load: () => import("./consent/Consent.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "client/:client/clearance",
    load: () => import("./clearance/Clearance.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "client/:client/clearance/:referral",
    load: () => import("./clearance/Clearance.svelte"),
    task: true,
    roles: CARE,
  },
  { path: "client/:client/book", load: () => import("./booking/Book.svelte"), task: true },
  { path: "booking/:booking", load: () => import("./booking/Booking.svelte"), task: true },
  {
    path: "booking/:booking/visit",
    load: () => import("./visit/Visit.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "booking/:booking/mishap",
    load: () => import("./mishap/Report.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "booking/:booking/sign-off",
    load: () => import("./sign-off/SignOff.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "booking/:booking/:from/set",
    load: () => import("./visit/TakeSet.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "visit/:visit/aftercare",
    load: () => import("./sign-off/Aftercare.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "visit/:visit/mishap",
    load: () => import("./mishap/Report.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "client/:client/mishap",
    load: () => import("./mishap/Report.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "mishap/:mishap",
    load: () => import("./mishap/Mishap.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "referral/:referral",
    load: () => import("./referral/Letter.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "referral/:referral/answer",
    load: () => import("./referral/Answer.svelte"),
    task: true,
    roles: CARE,
  },
  { path: "attention", load: () => import("./attention/Attention.svelte") },
  { path: "sync", load: () => import("./sync/Sync.svelte") },
  { path: "team", load: () => import("./team/Team.svelte") },
  { path: "team/new", load: () => import("./team/NewPerson.svelte"), task: true },
  { path: "facilities", load: () => import("./facilities/Facilities.svelte") },
  { path: "facilities/new", load: () => import("./facilities/NewFacility.svelte"), task: true },
  {
    path: "facility/:facility/round",
    load: () => import("./round/Round.svelte"),
    task: true,
    roles: ["owner", "coordinator"],
  },
  {
    path: "facility/:facility/take-in",
    load: () => import("./facilities/ResidentsFile.svelte"),
    task: true,
    roles: ["owner", "coordinator"],
  },
  {
    path: "facility/:facility/edit",
    load: () => import("./facilities/EditFacility.svelte"),
    task: true,
    roles: ["owner", "coordinator"],
  },
  { path: "settings", load: () => import("./settings/Settings.svelte") },
  {
    path: "settings/passphrase",
    load: () => import("./settings/ChangePassphrase.svelte"),
    task: true,
  },
  { path: "due", load: () => import("./due/DueList.svelte"), roles: CARE },
  { path: "hours", load: () => import("./hours/Hours.svelte"), task: true, roles: CARE },
  { path: "hours/:staff", load: () => import("./hours/Hours.svelte"), task: true, roles: CARE },
  { path: "kit", load: () => import("./kit/KitHome.svelte"), roles: CARE },
  {
    path: "kit/mix",
    load: () => import("./kit-mix/Mix.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "kit/cycle/new",
    load: () => import("./kit-cycle/NewCycle.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "kit/cycle/new/:kit_thing",
    load: () => import("./kit-cycle/NewCycle.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "kit/cycle/:kit_load",
    load: () => import("./kit-cycle/Cycle.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "kit/machine/:kit_thing/check",
    load: () => import("./kit-machine/Check.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "kit/packing",
    load: () => import("./kit-packing/Packing.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "kit/packing/:day",
    load: () => import("./kit-packing/Packing.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "kit/scan",
    load: () => import("./kit-scan/KitScan.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "kit/checklists",
    load: () => import("./kit-check/Checklists.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "kit/checklist/:occasion",
    load: () => import("./kit-check/Checklist.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "kit/trace/client/:client",
    load: () => import("./kit-trace/TraceClient.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "kit/trace/cycle/:kit_load",
    load: () => import("./kit-trace/TraceCycle.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "kit/trace/set/:kit_thing",
    load: () => import("./kit-trace/TraceThing.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "kit/trace/lot/:kit_thing",
    load: () => import("./kit-trace/TraceThing.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "kit/trace/product/:kit_thing",
    load: () => import("./kit-trace/TraceThing.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "kit/trace/machine/:kit_thing",
    load: () => import("./kit-trace/TraceThing.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "kit/log",
    load: () => import("./kit-log/KitLog.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "kit/all/:kind",
    load: () => import("./kit/KitList.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "kit/new/:kind",
    load: () => import("./kit/EditThing.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "kit/several/:step",
    load: () => import("./kit/SeveralSets.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "kit/:kit_thing/edit",
    load: () => import("./kit/EditThing.svelte"),
    task: true,
    roles: CARE,
  },
  // The last of the kit: its name fits every other word in that place.
  { path: "kit/:kit_thing", load: () => import("./kit/Thing.svelte"), task: true, roles: CARE },
  { path: "miles", load: () => import("./miles/Miles.svelte"), roles: CARE },
  {
    path: "miles/vehicle/new",
    load: () => import("./miles/EditVehicle.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "miles/vehicle/:vehicle",
    load: () => import("./miles/EditVehicle.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "miles/day/:day",
    load: () => import("./miles/TravelDay.svelte"),
    task: true,
    roles: CARE,
  },
  {
    path: "miles/log",
    load: () => import("./miles/MilesLog.svelte"),
    task: true,
    roles: CARE,
  },
  { path: "rules", load: () => import("./rules/Rules.svelte") },
  { path: "rules/own", load: () => import("./rules/OwnRules.svelte"), task: true },
];
