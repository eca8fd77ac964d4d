/**
 * The one file that speaks HTTP. Tells apart no connection, a page that is not our server's, a refusal and
 * a fault; decides nothing about what to do then.
 */
import type {
  Command,
  DeviceRegistered,
  Id,
  PaperName,
  PhotoParts,
  PullReply,
  PushReply,
  Recovered,
  Refusal,
  RulebookBody,
} from "./types";

/** The edition of the sync protocol that this app speaks; docs/sync.md tells of it. */
const PROTOCOL = 2;

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

export interface Credentials {
  token: string;
  device: Id;
}

type Heard = string | null;

export interface Http {
  /** Returns the session token. */
  login(email: string, password: string): Promise<string>;
  endSession(session: string): Promise<void>;
  /** `heard` is what the server said last under that name, to whichever device number of this phone. */
  enrol(session: string, device: Id, name: string, heard: Heard): Promise<DeviceRegistered>;
  push(as: Credentials, commands: readonly Command[], heard: Heard): Promise<PushReply>;
  pull(as: Credentials, cursor: string | null, heard: Heard): Promise<PullReply>;
  /** Null where `held` is still the newest. */
  rulebook(as: Credentials, held: string | null): Promise<RulebookBody | null>;
  paper(as: Credentials, name: PaperName, row: Id): Promise<Blob>;
  /** Which parts of a photo's picture the server has. */
  photoParts(as: Credentials, photo: Id): Promise<PhotoParts>;
  /** `sha256` is of this part, in base64. Sent again, it changes nothing. */
  photoPart(as: Credentials, photo: Id, part: PhotoPart): Promise<PhotoParts>;
  /** All parts were sent: the server puts them together. Refused with `photo_differs` where they do not fit. */
  photoWhole(as: Credentials, photo: Id): Promise<PhotoParts>;
  photo(as: Credentials, photo: Id): Promise<Blob>;
  /** Opens a copy of a record key that was wrapped to the practice's recovery key; both in base64. */
  recover(as: Credentials, copy: string): Promise<string>;
}

/** `number` counts from 1. */
export interface PhotoPart {
  number: number;
  bytes: Uint8Array<ArrayBuffer>;
  sha256: string;
}

interface Call {
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
/** A first pull over a slow line carries thousands of rows. */
const LONG_TIMEOUT = 60_000;
const SESSION = "/_allauth/app/v1/auth/session";
/** Bytes; below it a packed body saves nothing that anybody would notice. */
const PACKED_FROM = 4096;
const MOST_PACKED = 100;
const JSON_TYPE = "application/json";

export function openHttp(fetcher: typeof fetch, base: string): Http {
  const call = (path: string, options: Call) => send(fetcher, base + path, options);

  return {
    async login(email, password) {
      const body = { email, password };
      const reply = await call("/_allauth/app/v1/auth/login", { method: "POST", body });
      if (!reply.ok) throw new HttpFault("server_trouble", reply.status);
      const { meta } = await json<{ meta?: { session_token?: string } }>(reply);
      if (meta?.session_token === undefined) throw new HttpFault("not_our_server", reply.status);
      return meta.session_token;
    },

    async endSession(session) {
      await call(SESSION, { method: "DELETE", headers: { "X-Session-Token": session } });
    },

    async enrol(session, device, name, heard) {
      const headers = { "X-Session-Token": session };
      const body = { protocol: PROTOCOL, device, name, heard };
      const reply = await call("/api/devices", { method: "POST", headers, body });
      return echoed(await ours<DeviceRegistered>(reply), device);
    },

    async push(as, commands, heard) {
      const body = { protocol: PROTOCOL, device: as.device, commands, heard };
      const options = { method: "POST", headers: bearer(as), body, packs: true } as const;
      const reply = await call("/api/push", { ...options, timeout: LONG_TIMEOUT });
      return echoed(await ours<PushReply>(reply), as.device);
    },

    async pull(as, cursor, heard) {
      const body = { protocol: PROTOCOL, device: as.device, cursor, heard };
      const options = { method: "POST", headers: bearer(as), body, timeout: LONG_TIMEOUT } as const;
      return echoed(await ours<PullReply>(await call("/api/pull", options)), as.device);
    },

    async rulebook(as, held) {
      const known = held === null ? {} : { "If-None-Match": `"${held}"` };
      const headers = { ...bearer(as), ...known };
      const reply = await call(`/api/rulebook?protocol=${PROTOCOL}`, { headers });
      return reply.status === 304 ? null : ours<RulebookBody>(reply);
    },

    async paper(as, name, row) {
      const path = `/api/documents/${name}/${row}`;
      return blobOf(await call(path, { headers: bearer(as) }), "application/pdf");
    },

    async photoParts(as, photo) {
      return ours<PhotoParts>(await call(`/api/photos/${photo}/parts`, { headers: bearer(as) }));
    },

    async photoPart(as, photo, { number, bytes, sha256 }) {
      const headers = { ...bearer(as), "Content-Digest": `sha-256=:${sha256}:` };
      const options = { method: "PUT", headers, raw: bytes, timeout: LONG_TIMEOUT } as const;
      return ours<PhotoParts>(await call(`/api/photos/${photo}/parts/${number}`, options));
    },

    async photoWhole(as, photo) {
      const options = { method: "POST", headers: bearer(as), timeout: LONG_TIMEOUT } as const;
      return ours<PhotoParts>(await call(`/api/photos/${photo}/whole`, options));
    },

    async photo(as, photo) {
      const options = { headers: bearer(as), timeout: LONG_TIMEOUT };
      return blobOf(await call(`/api/photos/${photo}`, options), "image/jpeg");
    },

    async recover(as, copy) {
      const body = { protocol: PROTOCOL, device: as.device, copy };
      const reply = await call("/api/recovery", { method: "POST", headers: bearer(as), body });
      return echoed(await ours<Recovered>(reply), as.device).key;
    },
  };
}

async function send(fetcher: typeof fetch, url: string, options: Call): Promise<Response> {
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
async function ours<T>(reply: Response): Promise<T> {
  if (reply.ok) return json<T>(reply);
  // A proxy's page in front of a server that is down is trouble of the server's, not another server.
  if (reply.status >= 500 && !isOfType(reply, JSON_TYPE)) {
    throw new HttpFault("server_trouble", reply.status);
  }
  const { code } = await json<Partial<Refusal>>(reply);
  throw new HttpFault(typeof code === "string" ? code : "server_trouble", reply.status);
}

async function blobOf(reply: Response, type: string): Promise<Blob> {
  if (!reply.ok) await ours(reply);
  if (!isOfType(reply, type)) throw new HttpFault("not_our_server", reply.status);
  try {
    return await reply.blob();
  } catch (cause) {
    throw new HttpFault("no_connection", reply.status, { cause });
  }
}

/** A hotel's or a care home's sign-in page answers 200 with HTML. */
async function json<T>(reply: Response): Promise<T> {
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

function echoed<T extends { device: Id }>(body: T, device: Id): T {
  if (body.device !== device) throw new HttpFault("not_our_server", 200);
  return body;
}

function bearer(as: Credentials): Record<string, string> {
  return { Authorization: `Bearer ${as.token}` };
}
