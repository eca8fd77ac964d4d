/** Keeps first aid in sight while both hands are on a wound. */
import { keepAwake } from "../../parts/wake-lock";
import { store } from "../../store";

/** Begins at once; call what it returns when the steps are out of sight. */
export function stayOpen(): () => void {
  const sleepAgain = keepAwake();
  store.inUse(true);
  return () => {
    store.inUse(false);
    sleepAgain();
  };
}
