/** What somebody has of a facility by their role and by whether it was given to them. Pure. */
import type { Id, Role } from "../../wire/types";

interface House {
  staff: readonly Id[];
}
interface Me {
  id: Id;
  role: Role;
}

/** Whoever was given a house has everyone who lives there; of other houses a phone has some or none. */
export function hasEveryone({ staff }: House, me: Me | null): boolean {
  return me !== null && (me.role === "owner" || staff.includes(me.id));
}

/** A coordinator changes the card of their own house. */
export function mayChange(house: House, me: Me | null): boolean {
  return me?.role !== "technician" && hasEveryone(house, me);
}

/** Where somebody has the houses one below the other, and goes back to from one. */
export function listFor(role: Role | undefined): "/residents" | "/facilities" {
  return role === "coordinator" ? "/residents" : "/facilities";
}
