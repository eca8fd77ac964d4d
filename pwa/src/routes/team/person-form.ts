/** A new member of staff as a form. */
import type { Role } from "../../wire/types";

export interface PersonForm {
  name: string;
  email: string;
  role: Role;
}

export const ROLES: readonly Role[] = ["technician", "coordinator", "owner"];

export function blankPerson(): PersonForm {
  return { name: "", email: "", role: "technician" };
}

/** As closely as the server looks: something, an @, something with a dot in it. */
export function looksLikeEmail(typed: string): boolean {
  return /^[^@\s]+@[^@\s]+\.[^@\s]+$/.test(typed.trim());
}
