import { createServer, type IncomingMessage, type Server, type ServerResponse } from "node:http";
import type { AddressInfo } from "node:net";
import { gunzipSync } from "node:zlib";

import { afterAll, beforeAll, beforeEach, describe, expect, it, vi } from "vitest";

import { type Http, openHttp } from "../../src/wire/http";

type Answer = (request: IncomingMessage, body: string, response: ServerResponse) => void;

const AS = { token: "secret", device: "device-1" };
const PULLED = { device: "device-1", cursor: "1", more: false, rows: [] };

let server: Server;
let http: Http;
let answer: Answer;
/** Takes the body as it came over the wire, instead of `answer`. */
let raw: ((request: IncomingMessage, body: Buffer, response: ServerResponse) => void) | null = null;

beforeAll(async () => {
  server = createServer((request, response) => {
    const chunks: Buffer[] = [];
    request.on("data", (chunk: Buffer) => chunks.push(chunk));
    request.on("end", () => {
      const body = Buffer.concat(chunks);
      if (raw !== null) raw(request, body, response);
      else answer(request, body.toString(), response);
    });
  });
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  http = openHttp(fetch, `http://127.0.0.1:${(server.address() as AddressInfo).port}`);
});

afterAll(() => {
  server.closeAllConnections();
  server.close();
});

beforeEach(() => {
  answer = reply(404, "text/plain", "");
});

function reply(status: number, type: string, body: string): Answer {
  return (_request, _body, response) => {
    response.writeHead(status, { "Content-Type": type }).end(body);
  };
}

function json(status: number, body: unknown): Answer {
  return reply(status, "application/json; charset=utf-8", JSON.stringify(body));
}

describe("a call", () => {
  it("carries the token in the header and the device in the body, and no cookie", async () => {
    let seen: [string | undefined, string | undefined, unknown] | undefined;
    answer = (request, body, response) => {
      const { authorization, cookie } = request.headers;
      seen = [authorization, cookie, JSON.parse(body)];
      json(200, PULLED)(request, body, response);
    };
    await expect(http.pull(AS, null, null)).resolves.toMatchObject({ cursor: "1" });
    expect(seen).toEqual([
      "Bearer secret",
      undefined,
      { protocol: 2, device: "device-1", cursor: null, heard: null },
    ]);
  });

  it.each([
    [
      "a portal page with 200",
      reply(200, "text/html", "<h1>Sign in to GuestNet</h1>"),
      "not_our_server",
    ],
    ["a JSON page of somebody else", json(200, { ok: true }), "not_our_server"],
    ["the reply to another device", json(200, { ...PULLED, device: "d2" }), "not_our_server"],
    ["a proxy's own error page", reply(502, "text/html", "Bad gateway"), "server_trouble"],
    ["a revoked device", json(403, { code: "device_revoked" }), "device_revoked"],
    ["a lost sign-in", json(401, { code: "not_signed_in" }), "not_signed_in"],
    ["a cloned device", json(409, { code: "device_cloned" }), "device_cloned"],
    ["an app that is too old", json(426, { code: "app_out_of_date" }), "app_out_of_date"],
    ["a server that is too old", json(503, { code: "server_out_of_date" }), "server_out_of_date"],
    ["a fault of the server's own", json(503, { code: "server_trouble" }), "server_trouble"],
    ["a captive 403 in HTML", reply(403, "text/html", "no"), "not_our_server"],
    ["JSON cut in the middle", reply(200, "application/json", '{"device":'), "no_connection"],
  ] as const)("tells %s apart", async (_what, given, code) => {
    answer = given;
    await expect(http.pull(AS, null, null)).rejects.toMatchObject({ code });
  });

  it("gives up on a server that never answers", async () => {
    const real = AbortSignal.timeout.bind(AbortSignal);
    const spy = vi.spyOn(AbortSignal, "timeout").mockImplementation(() => real(50));
    answer = () => undefined;
    await expect(http.pull(AS, null, null)).rejects.toMatchObject({ code: "no_connection" });
    expect(spy.mock.calls[0]?.[0]).toBeLessThanOrEqual(60_000);
    spy.mockRestore();
  });

  it("follows no redirect: a portal's is not ours", async () => {
    answer = (_request, _body, response) => response.writeHead(302, { Location: "/" }).end();
    await expect(http.pull(AS, null, null)).rejects.toMatchObject({ code: "no_connection" });
  });
});

describe("a large delivery", () => {
  const one = { id: "c", seq: 1, name: "register_client", made_at: "", rulebook: "" };
  const words = Array.from({ length: 2000 }, (_, n) => `${n} ${Math.sin(n)}`).join(" ");

  async function pushed(note: string): Promise<[string | undefined, Buffer, string]> {
    let seen: [string | undefined, Buffer] | undefined;
    raw = (request, body, response) => {
      seen = [request.headers["content-encoding"], body];
      json(200, { device: "device-1", results: [] })(request, "", response);
    };
    const commands = [{ ...one, args: { note } }];
    await http.push(AS, commands, null);
    raw = null;
    if (seen === undefined) throw new Error("nothing came");
    return [...seen, JSON.stringify({ protocol: 2, device: "device-1", commands, heard: null })];
  }

  it("travels packed", async () => {
    const [encoding, body, plain] = await pushed(words);
    expect(encoding).toBe("gzip");
    expect(gunzipSync(body).toString()).toBe(plain);
    expect(body.length).toBeLessThan(plain.length / 2);
  });

  it("that would unpack like an attack travels plain, and so does a small one", async () => {
    for (const note of ["a".repeat(1_000_000), "small"]) {
      const [encoding, body, plain] = await pushed(note);
      expect(encoding).toBeUndefined();
      expect(body.toString()).toBe(plain);
    }
  });

  it("travels plain where the browser cannot pack", async () => {
    vi.stubGlobal("CompressionStream", undefined);
    const [encoding] = await pushed(words);
    vi.unstubAllGlobals();
    expect(encoding).toBeUndefined();
  });
});

describe("signing in", () => {
  it("reads allauth's session token, and enrols by it", async () => {
    answer = json(200, { status: 200, meta: { session_token: "s", is_authenticated: true } });
    await expect(http.login("a@example.org", "x")).resolves.toBe("s");
    answer = (request, body, response) => {
      expect(request.headers["x-session-token"]).toBe("s");
      expect(JSON.parse(body)).toEqual({
        protocol: 2,
        device: "device-1",
        name: "phone",
        heard: null,
      });
      json(200, { device: "device-1", token: "t" })(request, body, response);
    };
    await expect(http.enrol("s", "device-1", "phone", null)).resolves.toMatchObject({ token: "t" });
  });

  it.each([400, 401, 429])("passes on a %i", async (status) => {
    answer = json(status, { status, errors: [] });
    await expect(http.login("a@example.org", "x")).rejects.toMatchObject({ status });
  });
});

describe("the rulebook and the letter", () => {
  it("asks by version, and takes 304 for nothing new", async () => {
    answer = (request, _body, response) => {
      expect(request.url).toBe("/api/rulebook?protocol=2");
      expect(request.headers["if-none-match"]).toBe('"abc"');
      response.writeHead(304).end();
    };
    await expect(http.rulebook(AS, "abc")).resolves.toBeNull();
  });

  it("asks for a log by its days, and takes the form that it asked for", async () => {
    answer = (request, _body, response) => {
      expect(request.url).toBe("/api/documents/kit_log?from=2026-03-01&to=2026-03-31&form=csv");
      response.writeHead(200, { "Content-Type": "text/csv; charset=utf-8" }).end("Day");
    };
    const days = { from: "2026-03-01", to: "2026-03-31" };
    await expect((await http.log(AS, "kit_log", days, "csv")).text()).resolves.toBe("Day");
    answer = reply(200, "application/pdf", "%PDF-1.7");
    await expect(http.log(AS, "kit_log", days, "csv")).rejects.toMatchObject({
      code: "not_our_server",
    });
  });

  it("takes a PDF and nothing else for a letter", async () => {
    answer = reply(200, "application/pdf", "%PDF-1.7");
    await expect((await http.paper(AS, "referral_letter", "r")).text()).resolves.toBe("%PDF-1.7");
    answer = reply(200, "text/html", "<html>");
    await expect(http.paper(AS, "referral_letter", "r")).rejects.toMatchObject({
      code: "not_our_server",
    });
  });
});
