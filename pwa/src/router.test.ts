/** Which screen an address means. Check: our own rule, ids only in addresses. */
import { describe, expect, it } from "vitest";

import { match, type Route } from "./router";

const load = () => Promise.reject(new Error("not opened here"));
const routes: Route[] = ["today", "clients/new", "client/:client", "client/:client/feet"].map(
  (path) => ({ path, load }),
);

describe("an address", () => {
  it("finds its screen and the ids in it", () => {
    expect(match(routes, "#/client/a1/feet")?.params).toEqual({ client: "a1" });
    expect(match(routes, "#/client/a1")?.route.path).toBe("client/:client");
    expect(match(routes, "#/clients/new")?.params).toEqual({});
  });

  it("finds nothing where there is no such screen", () => {
    expect(match(routes, "#/client")).toBeNull();
    expect(match(routes, "#/client/a1/feet/more")).toBeNull();
    expect(match(routes, "")).toBeNull();
  });
});
