/**
 * Surface speed of a turning head, v = pi d n. Arithmetic only: no published safe surface speed for
 * skin or nail was found. The twin is speed.py; both run tests/parity/speed.json.
 */
const MM_PER_MIN_IN_M_PER_S = 60_000;

/** `head_mm` is the largest diameter of the head, also of a cone or a flame. */
export function surface_speed_m_s(head_mm: number, rpm: number): number {
  must_be_positive(head_mm, rpm);
  return (Math.PI * head_mm * rpm) / MM_PER_MIN_IN_M_PER_S;
}

/** The turns a minute at which this head reaches this speed. */
export function rpm_for(speed_m_s: number, head_mm: number): number {
  must_be_positive(speed_m_s, head_mm);
  return (speed_m_s * MM_PER_MIN_IN_M_PER_S) / (Math.PI * head_mm);
}

function must_be_positive(...values: number[]): void {
  if (!values.every((value) => Number.isFinite(value) && value > 0)) {
    throw new RangeError("diameter, turns and speed must be more than 0");
  }
}
