/**
 * One call to the server. The one file that speaks HTTP: tells apart no connection, a page that is not our
 * server's, a refusal and a fault; decides nothing about what to do then.
 */
import type { Refusal } from "./types";

/** `code` is the server's own, or one of no_connection, not_our_server, server_trouble. */
export class HttpFault extends Error {
  readonly code: string;
  readonly status: number;

  constructor(code: string, status: number, options?: ErrorOptions) {
    super(code, options);
    this.name = "HttpFault";
    this.code = code;
    this.status = status;
  }
}

export interface Call {
  method?: "GET" | "POST" | "PUT" | "DELETE";
  headers?: Record<string, string>;
  body?: unknown;
  /** Sent as it is, in place of a body of JSON. */
  raw?: Uint8Array<ArrayBuffer>;
  /** Whether a large body may travel packed; only our own API unpacks one. */
  packs?: boolean;
  timeout?: number;
}

const TIMEOUT = 20_000;
/** Bytes; below it a packed body saves nothing that anybody would notice. */
const PACKED_FROM = 4096;
const MOST_PACKED = 100;
const JSON_TYPE = "application/json";

export async function send(fetcher: typeof fetch, url: string, options: Call): Promise<Response> {
  const { method = "GET", headers = {}, timeout = TIMEOUT } = options;
  const carried = await carry(options);
  try {
    return await fetcher(url, {
      method,
      ...carried,
      headers: { Accept: JSON_TYPE, ...carried.headers, ...headers },
      // No cookies: the token in the header is the only thing that lets a device in.
      credentials: "omit",
      cache: "no-store",
      redirect: "error",
      signal: AbortSignal.timeout(timeout),
    });
  } catch (cause) {
    throw new HttpFault("no_connection", 0, { cause });
  }
}

interface Carried {
  headers: Record<string, string>;
  body?: BodyInit;
}

/** The body as it travels. A day's work packs to a tenth, which counts on a slow line. */
async function carry({ body, raw, packs = false }: Call): Promise<Carried> {
  if (raw !== undefined) {
    return { headers: { "Content-Type": "application/octet-stream" }, body: raw };
  }
  if (body === undefined) return { headers: {} };
  const headers = { "Content-Type": JSON_TYPE };
  const plain = new Blob([JSON.stringify(body)]);
  if (!packs || plain.size < PACKED_FROM || typeof CompressionStream === "undefined") {
    return { headers, body: await plain.text() };
  }
  const packed = await new Response(
    plain.stream().pipeThrough(new CompressionStream("gzip")),
  ).blob();
  // The server takes what unpacks to hundreds of times its size for an attack.
  if (packed.size * MOST_PACKED < plain.size) return { headers, body: await plain.text() };
  return { headers: { ...headers, "Content-Encoding": "gzip" }, body: packed };
}

/** A reply of our own API: the body, or its refusal as an HttpFault with the server's code. */
export async function ours<T>(reply: Response): Promise<T> {
  if (reply.ok) return json<T>(reply);
  // A proxy's page in front of a server that is down is trouble of the server's, not another server.
  if (reply.status >= 500 && !isOfType(reply, JSON_TYPE)) {
    throw new HttpFault("server_trouble", reply.status);
  }
  const { code } = await json<Partial<Refusal>>(reply);
  throw new HttpFault(typeof code === "string" ? code : "server_trouble", reply.status);
}

export async function blobOf(reply: Response, type: string): Promise<Blob> {
  if (!reply.ok) await ours(reply);
  if (!isOfType(reply, type)) throw new HttpFault("not_our_server", reply.status);
  try {
    return await reply.blob();
  } catch (cause) {
    throw new HttpFault("no_connection", reply.status, { cause });
  }
}

/** A hotel's or a care home's sign-in page answers 200 with HTML. */
export async function json<T>(reply: Response): Promise<T> {
  if (!isOfType(reply, JSON_TYPE)) throw new HttpFault("not_our_server", reply.status);
  try {
    return (await reply.json()) as T;
  } catch (cause) {
    throw new HttpFault("no_connection", reply.status, { cause });
  }
}

function isOfType(reply: Response, type: string): boolean {
  return (reply.headers.get("Content-Type") ?? "").split(";")[0]?.trim() === type;
}
