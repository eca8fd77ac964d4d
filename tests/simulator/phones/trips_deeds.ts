/** What is entered of vehicles and travel. */
import type { Held } from "../../../pwa/src/store/api";
import type { Form, Hand } from "./hand";

async function own(hand: Hand): Promise<Held<"vehicle">[]> {
  return (await hand.rows("vehicle")).filter(
    ({ row }) => row.staff === hand.staff,
  );
}

export function registerVehicle(hand: Hand): Promise<Form> {
  const kind = hand.one(["car", "van", "bicycle"]);
  const unit = hand.one(["mile", "km"]);
  return Promise.resolve({
    vehicle: hand.id(),
    kind,
    unit,
    name: "Invented car",
    plate: "",
  });
}

export async function amendVehicle(hand: Hand): Promise<Form | null> {
  const all = await own(hand);
  if (all.length === 0) return null;
  const { id, version, row } = hand.one(all);
  return {
    vehicle: id,
    seen: version,
    name: `${row.name} again`,
    plate: "",
    given_up: false,
  };
}

/** A new day, or one that corrects what is there. */
export async function recordTravel(hand: Hand): Promise<Form | null> {
  const all = await own(hand);
  if (all.length === 0) return null;
  const vehicle = hand.one(all).id;
  const days = (await hand.rows("travel_day")).filter(
    ({ row }) => row.vehicle === vehicle,
  );
  const before =
    days.length > 0 && hand.number(2) === 0 ? hand.one(days) : null;
  const leg = {
    start: "Home",
    end: "1 Invented Lane",
    purpose: "client",
    words: "",
  };
  const far = { estimated_m: 4000, tenths: hand.number(300), known: "typed" };
  return {
    travel: hand.id(),
    vehicle,
    day: before?.row.day ?? hand.time().slice(0, 10),
    odometer_start: null,
    odometer_end: null,
    legs: [{ ...leg, ...far }],
    note: "",
    replaces: before === null ? [] : [before.id],
  };
}
