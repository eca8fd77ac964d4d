/**
 * The copy of the record key that the practice can open, for unsent work whose passphrase is forgotten. It
 * lies beside the passphrase's own and is made while the key's bytes are at hand, which is never for long. The
 * device's token in it shows who made it: anybody can wrap a key of their own to a public one.
 */
import { type Credentials, type Http, HttpFault } from "../wire/http";
import type { Id } from "../wire/types";
import { fromBase64, toBase64 } from "./base64";
import { Fault } from "./fault";
import type { RawKey } from "./passphrase";
import { importKey } from "./seal";

/**
 * `lock` is the practice's public key, as SPKI in base64: a copy for another one is of no use. `device` is whose
 * token is in it; earlier apps put none, and their copies open nothing.
 */
export interface RecoveryCopy {
  practice: Id;
  staff: Id;
  device?: Id;
  lock: string;
  ct: Uint8Array<ArrayBuffer>;
}

/** What the server answers where it understood and will not: not this person's copy, or a damaged one. */
const REFUSED = [400, 404, 409, 422];

/** An identity from before practices had such a key, or from a server that made none yet, has no lock. */
interface Maker extends Credentials {
  practice: { id: Id; recovery_key?: string };
  staff: { id: Id };
}

/** Undefined where the practice has given no key, or none that fits: no reason to keep a phone shut. */
export async function copyForPractice(
  raw: RawKey,
  { practice, staff, device, token }: Maker,
): Promise<RecoveryCopy | undefined> {
  const { recovery_key: lock = "" } = practice;
  if (lock === "") return undefined;
  const whose = { practice: practice.id, staff: staff.id, device };
  const content = new Uint8Array([...raw, ...new TextEncoder().encode(token)]);
  try {
    const params = { name: "RSA-OAEP", hash: "SHA-256" };
    const key = await crypto.subtle.importKey("spki", fromBase64(lock), params, false, ["encrypt"]);
    const ct = await crypto.subtle.encrypt({ ...params, label: labelOf(whose) }, key, content);
    return { ...whose, lock, ct: new Uint8Array(ct) };
  } catch {
    return undefined;
  } finally {
    content.fill(0);
  }
}

/** Whether a copy is as it would be made now. */
export function isFor(copy: RecoveryCopy | undefined, maker: Omit<Maker, "token">): boolean {
  const { practice, staff, device } = maker;
  const { id, recovery_key: lock } = practice;
  const whose = copy?.practice === id && copy.staff === staff.id && copy.device === device;
  return whose && copy.lock === lock;
}

/**
 * Asks the practice to open a copy; where it does, its owner is told. Throws `recovery_not_proved` where the
 * server does not know the device that made it, and `recovery_refused` where it says no otherwise.
 */
export async function askForKey(
  http: Http,
  as: Credentials,
  copy: RecoveryCopy,
): Promise<CryptoKey> {
  try {
    const raw = fromBase64(await http.recover(as, toBase64(copy.ct)));
    const key = await importKey(raw);
    raw.fill(0);
    return key;
  } catch (cause) {
    if (!(cause instanceof HttpFault && REFUSED.includes(cause.status))) throw cause;
    const proved = cause.code !== "copy_not_proved";
    throw new Fault(proved ? "recovery_refused" : "recovery_not_proved", { cause });
  }
}

/** RFC 8017 section 7.1: bound, and not sent. The server opens a copy only under its asker's own ids. */
function labelOf({ practice, staff }: { practice: Id; staff: Id }): Uint8Array<ArrayBuffer> {
  return new TextEncoder().encode(`heelwright.recovery.2/${practice}/${staff}`);
}
