/** The same vectors as tests/standards/test_surface_speed.py. */
import { describe, expect, test } from "vitest";
import vectors from "../../../tests/parity/speed.json" with { type: "json" };
import { rpm_for, surface_speed_m_s } from "../../src/domain/speed";

// Formula from memory (Machinery's Handbook, cutting speed); the values are computed.
describe("surface speed", () => {
  test.each(vectors.speeds)("$head_mm mm at $rpm rpm makes $m_s m/s", ({ head_mm, rpm, m_s }) => {
    expect(Math.abs(surface_speed_m_s(head_mm, rpm) - m_s)).toBeLessThanOrEqual(0.005);
  });

  test.each(vectors.six_mm)(
    "6 mm at $rpm rpm in three units",
    ({ head_mm, rpm, m_s, m_min, ft_min }) => {
      const speed = surface_speed_m_s(head_mm, rpm);
      expect(Math.abs(speed - m_s)).toBeLessThanOrEqual(0.0005);
      expect(Math.abs(speed * 60 - m_min)).toBeLessThanOrEqual(0.05);
      expect(Math.abs((speed * 60) / 0.3048 - ft_min)).toBeLessThanOrEqual(0.5);
    },
  );

  test.each(vectors.turns)("$m_s m/s with $head_mm mm is $rpm rpm", ({ m_s, head_mm, rpm }) => {
    expect(Math.round(rpm_for(m_s, head_mm))).toBe(rpm);
  });

  test.each(vectors.refused)("%d mm at %d rpm is refused", (head_mm, rpm) => {
    expect(() => surface_speed_m_s(head_mm, rpm)).toThrow(RangeError);
  });
});
