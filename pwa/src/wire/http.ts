/** What the app asks the server, by name. How a call is made, and what can go wrong with it, is in call.ts. */
import { blobOf, type Call, HttpFault, json, ours, send } from "./call";
import type {
  Command,
  DeviceRegistered,
  Id,
  LogDays,
  LogForm,
  LogName,
  PaperName,
  PhotoParts,
  PlanAsked,
  PlanRun,
  PullReply,
  PushReply,
  Recovered,
  PostCodeFound,
  ResidentsRead,
  RulebookBody,
} from "./types";

export { HttpFault };

/** The edition of the sync protocol that this app speaks; docs/sync.md tells of it. */
const PROTOCOL = 2;

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
  /** What a file of residents, in base64, would change. */
  readResidents(as: Credentials, facility: Id, file: string): Promise<ResidentsRead>;
  /** Null where the server does not know it. */
  postCode(as: Credentials, post_code: string): Promise<PostCodeFound["position"]>;
  /** Calls off what the same person asked for before. */
  askPlan(as: Credentials, asked: PlanAsked): Promise<PlanRun>;
  /** What the person asked for last, and how it stands; null where there is none. */
  newestPlan(as: Credentials): Promise<PlanRun | null>;
  cancelPlan(as: Credentials, run: Id): Promise<PlanRun | null>;
  log(as: Credentials, name: LogName, days: LogDays, form: LogForm): Promise<Blob>;
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

/** A first pull over a slow line carries thousands of rows. */
const LONG_TIMEOUT = 60_000;
const RUNS = "/api/planning/runs";
const SESSION = "/_allauth/app/v1/auth/session";

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

    async readResidents(as, facility, file) {
      const body = { protocol: PROTOCOL, device: as.device, facility, file };
      const options = { method: "POST", headers: bearer(as), body, packs: true } as const;
      return ours(await call("/api/residents/read", { ...options, timeout: LONG_TIMEOUT }));
    },

    async postCode(as, post_code) {
      const body = { protocol: PROTOCOL, device: as.device, post_code };
      const options = { method: "POST", headers: bearer(as), body } as const;
      const found = await ours<PostCodeFound>(await call("/api/places/post_code", options));
      return found.position;
    },

    async askPlan(as, asked) {
      const body = { protocol: PROTOCOL, device: as.device, asked };
      return ours(await call(RUNS, { method: "POST", headers: bearer(as), body }));
    },

    async newestPlan(as) {
      const reply = await call(`${RUNS}/newest`, { headers: bearer(as) });
      return (await ours<{ run: PlanRun | null }>(reply)).run;
    },

    async cancelPlan(as, run) {
      const options = { method: "POST", headers: bearer(as) } as const;
      const reply = await call(`${RUNS}/${run}/cancel`, options);
      return (await ours<{ run: PlanRun | null }>(reply)).run;
    },

    async log(as, name, { from, to }, form) {
      const path = `/api/documents/${name}?from=${from}&to=${to}&form=${form}`;
      const reply = await call(path, { headers: bearer(as), timeout: LONG_TIMEOUT });
      return blobOf(reply, form === "pdf" ? "application/pdf" : "text/csv");
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

function echoed<T extends { device: Id }>(body: T, device: Id): T {
  if (body.device !== device) throw new HttpFault("not_our_server", 200);
  return body;
}

function bearer(as: Credentials): Record<string, string> {
  return { Authorization: `Bearer ${as.token}` };
}
