/**
 * Between the phones and the server: every request and every reply lies here until the scheduler moves it,
 * or loses it, sends it twice, or lets something else answer.
 */
import { gunzipSync } from "node:zlib";

import { endTimeout } from "./ground";
import { askAt } from "./link";
import type { Tab } from "./phone";
import { forEver } from "./tab_lock";

export interface Reply {
  status: number;
  headers: [string, string][];
  body: Buffer<ArrayBuffer>;
}

/** up: not at the server yet. paused: at the server, before a transaction. down: the reply is on its way. */
type Place = "up" | "paused" | "down" | "gone";

export interface Message {
  key: number;
  /** Null for a copy that the network made: nobody waits for its reply. */
  tab: Tab | null;
  method: string;
  path: string;
  headers: Record<string, string>;
  body: Buffer;
  place: Place;
  reply: Reply | null;
  /** Held up on its way, until it is let go. */
  delayed: boolean;
  /** The step at which the server began with it. */
  servedAt: number;
  /** Null once the page has had its answer. */
  waiting: Waiting | null;
}

interface Waiting {
  answer: (response: Response) => void;
  fail: (cause: unknown) => void;
  signal: AbortSignal | null | undefined;
}

type Told =
  | { state: "paused" | "killed" }
  | {
      state: "done";
      status: number;
      headers: [string, string][];
      body: string;
    };

export class Network {
  messages: Message[] = [];
  serverSkew = 0;
  #keys = 0;

  readonly fetcherOf =
    (tab: Tab): typeof fetch =>
    async (url, init = {}) => {
      const body = await bodyOf(init.body);
      if (!tab.alive) return forEver();
      return new Promise((answer, fail) => {
        const message: Message = {
          key: this.#nextKey(),
          tab,
          method: init.method ?? "GET",
          path: String(url as string),
          headers: Object.fromEntries(new Headers(init.headers).entries()),
          body,
          place: "up",
          reply: null,
          delayed: false,
          servedAt: 0,
          waiting: { answer, fail, signal: init.signal },
        };
        tab.phone.sends(message);
        this.messages.push(message);
        init.signal?.addEventListener("abort", () => {
          giveUp(message, init.signal?.reason);
        });
      });
    };

  at(place: Place): Message[] {
    return this.messages.filter((message) => message.place === place);
  }

  /** What a phone still waits for. */
  waitedFor(place: Place): Message[] {
    return this.at(place).filter(
      ({ tab, waiting }) => tab?.alive === true && waiting !== null,
    );
  }

  copy(message: Message): void {
    this.messages.push({
      ...message,
      key: this.#nextKey(),
      tab: null,
      waiting: null,
    });
  }

  /** Returns whether the server has died over it; all that it had in hand is lost then. */
  toServer(
    message: Message,
    step: number,
    pauses: boolean,
    diesAt = 0,
  ): boolean {
    message.servedAt = step;
    const { key, method, path, headers, body } = message;
    const request = {
      method,
      path,
      headers,
      packed: true,
      body: body.toString("base64"),
    };
    const more = { key, request, pauses, dies_at: diesAt };
    return this.#heard(message, askAt<Told>("send", more, this.serverSkew));
  }

  goOn(message: Message): boolean {
    return this.#heard(
      message,
      askAt<Told>("go", { key: message.key }, this.serverSkew),
    );
  }

  #heard(message: Message, told: Told): boolean {
    if (told.state === "done") {
      const { status, headers, body } = told;
      message.reply = { status, headers, body: Buffer.from(body, "base64") };
      message.place = "down";
      return false;
    }
    message.place = told.state === "paused" ? "paused" : "gone";
    if (told.state !== "killed") return false;
    this.cut(message);
    this.serverDied();
    return true;
  }

  serverDied(): void {
    for (const message of this.at("paused")) this.cut(message);
  }

  /** No reply ever comes, and the phone is told so at once. */
  cut(message: Message): void {
    message.place = "gone";
    giveUp(message, new TypeError("fetch failed"));
  }

  /** The phone gets this in place of a reply; the request goes no further. */
  answerInstead(message: Message, reply: Reply): void {
    message.place = "gone";
    this.#tell(message, reply);
  }

  toPhone(message: Message): void {
    message.place = "gone";
    if (message.reply !== null) this.#tell(message, message.reply);
  }

  #tell(message: Message, reply: Reply): void {
    ends(message, (tab, { answer }) => {
      tab.phone.hears(message, reply);
      answer(responseOf(reply));
    });
  }

  #nextKey(): number {
    this.#keys += 1;
    return this.#keys;
  }

  /** Forgets what is over. */
  tidy(): void {
    this.messages = this.messages.filter(({ place }) => place !== "gone");
  }
}

function giveUp(message: Message, cause: unknown): void {
  ends(message, (_, { fail }) => {
    fail(cause);
  });
}

/** Its page is told so by a task of its phone. Once only; a dead page hears nothing. */
function ends(
  message: Message,
  tell: (tab: Tab, waiting: Waiting) => void,
): void {
  const { tab, waiting } = message;
  message.waiting = null;
  if (tab === null || waiting === null) return;
  endTimeout(waiting.signal);
  const run = () => {
    if (tab.alive) tell(tab, waiting);
  };
  tab.phone.tasks.push({ page: tab, run });
}

async function bodyOf(body: BodyInit | null | undefined): Promise<Buffer> {
  if (body === null || body === undefined) return Buffer.alloc(0);
  if (typeof body === "string") return Buffer.from(body);
  if (body instanceof Blob) return Buffer.from(await body.arrayBuffer());
  throw new Error("a body of a kind that is not simulated");
}

/** As a browser gives it to the app: unpacked. */
export function unpacked({ headers, body }: Reply): Buffer<ArrayBuffer> {
  const packed = headers.some(
    ([name, value]) =>
      name.toLowerCase() === "content-encoding" && value === "gzip",
  );
  return packed ? gunzipSync(body) : body;
}

function responseOf(reply: Reply): Response {
  const headers = reply.headers.filter(
    ([name]) => !/^content-(encoding|length)$/i.test(name),
  );
  const empty = reply.status === 204 || reply.status === 304;
  return new Response(empty ? null : new Uint8Array(unpacked(reply)), {
    status: reply.status,
    headers,
  });
}

/** What a care home's sign-in page answers to everything. */
export const PORTAL: Reply = {
  status: 200,
  headers: [["Content-Type", "text/html; charset=utf-8"]],
  body: Buffer.from("<!doctype html><title>Welcome</title>Please sign in."),
};

export const BAD_GATEWAY: Reply = {
  status: 502,
  headers: [["Content-Type", "text/html"]],
  body: Buffer.from("Bad gateway"),
};

/** The line broke in the middle of a reply. */
export function torn(reply: Reply): Reply {
  const body = unpacked(reply);
  const headers = reply.headers.filter(
    ([name]) => name.toLowerCase() !== "content-encoding",
  );
  return {
    ...reply,
    headers,
    body: body.subarray(0, Math.floor(body.length / 2)),
  };
}
