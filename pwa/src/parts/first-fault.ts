/** Leads to the first field that says it can't be read, so that nothing typed into it is dropped unseen. */
export function toFirstFault(): boolean {
  const field = document.querySelector<HTMLElement>('main [aria-invalid="true"]');
  if (field === null) return false;
  const folded = field.closest("details");
  if (folded) folded.open = true;
  field.focus();
  return true;
}
