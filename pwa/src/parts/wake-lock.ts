/** Keeps the screen on while a timer runs or first aid is read, where the phone allows it; asks again after hiding. */
export function keepAwake(): () => void {
  let held: WakeLockSentinel | null = null;
  let wanted = true;

  async function ask(): Promise<void> {
    if (!("wakeLock" in navigator) || document.visibilityState !== "visible") return;
    try {
      const lock = await navigator.wakeLock.request("screen");
      if (wanted) held = lock;
      else await lock.release();
    } catch {
      // Refused on low battery or by policy: the timer itself does not depend on it.
    }
  }

  const again = () => void ask();
  document.addEventListener("visibilitychange", again);
  again();
  return () => {
    wanted = false;
    document.removeEventListener("visibilitychange", again);
    void held?.release();
  };
}
