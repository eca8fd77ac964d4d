/** Where the questions stand as the phone goes from hand to hand. Check: our own rule. */
import { describe, expect, it } from "vitest";

import { judge } from "../../domain/screening";
import { bookOf } from "../../domain/screening/vectors";
import { forTheClient, stepsOf } from "../../parts/questions/steps";
import { END, GIVEN_BACK, placeOf } from "./place";

const book = bookOf("base");
const all = stepsOf(book, "health", judge(book, {}, [], 50).shown);
const clients = forTheClient(all);
const answered = (steps: typeof all) =>
  Object.fromEntries(
    steps.flatMap(({ questions }) => questions.map(({ id }) => [id, "dont_know"] as const)),
  );

describe("in the client's hand", () => {
  it("the technician's last page is never shown, and their own end stays", () => {
    expect(placeOf(END, clients, {}, true)).toBe(clients[0]?.id);
    expect(placeOf(GIVEN_BACK, clients, {}, true)).toBe(GIVEN_BACK);
    expect(placeOf("medicines", clients, {}, true)).toBe("medicines");
  });
});

describe("back in the technician's hand", () => {
  it("it goes on at the technician's own questions once the client has answered all", () => {
    expect(placeOf(GIVEN_BACK, all, answered(clients), false)).toBe("deciding");
  });

  it("it goes on where a client stopped early", () => {
    expect(placeOf(GIVEN_BACK, all, answered(clients.slice(0, 2)), false)).toBe(clients[2]?.id);
  });

  it("it goes through the technician's own questions even where they have an answer", () => {
    expect(placeOf(GIVEN_BACK, all, answered(all), false)).toBe("deciding");
    expect(placeOf(GIVEN_BACK, clients, answered(clients), false)).toBe(END);
  });

  it("it stays where the technician goes", () => {
    expect(placeOf(END, all, {}, false)).toBe(END);
    expect(placeOf("today", all, answered(all), false)).toBe("today");
  });
});
