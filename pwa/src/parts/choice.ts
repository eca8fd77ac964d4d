/** One thing to choose from a list. */
export interface Choice {
  id: string;
  label: string;
}
