// Runs vectors through the app's own sealing and passphrase code, which the page loads as /app.js.
import {
  importKey, lendNewKey, open, openBytes, seal, sealBytes, stretch, unwrapRecordKey, wrapRecordKey,
} from "/app.js";

const bytes = (hex) => Uint8Array.from(hex.match(/../g) ?? [], (pair) => parseInt(pair, 16));
const hex = (value) => Array.from(value, (byte) => byte.toString(16).padStart(2, "0")).join("");
const hexBox = (box) => Object.fromEntries(
  Object.entries(box).map(([name, value]) => [name, value instanceof Uint8Array ? hex(value) : value]),
);

/** What became of each case: "opens and seals", "does not open", or whatever else happened. */
export async function runGcm(cases) {
  return Promise.all(cases.map(async (one) => {
    const key = await importKey(bytes(one.key));
    const [iv, aad, ct] = [bytes(one.iv), bytes(one.aad), bytes(one.sealed)];
    let plain;
    try {
      plain = await openBytes(key, aad, { iv, ct });
    } catch (fault) {
      return fault.code === "record_damaged" ? "does not open" : String(fault);
    }
    if (hex(plain) !== one.plaintext) return "opens to something else";
    const sealed = hex(await sealBytes(key, aad, iv, plain));
    return sealed === one.sealed ? "opens and seals" : "seals to something else";
  }));
}

export async function runStretch(cases) {
  const made = [];
  for (const { password, salt, iterations } of cases) {
    made.push(hex(await stretch(password, bytes(salt), iterations)));
  }
  return made;
}

export async function sealHere(passphrase, place, values) {
  const { key, wrapped } = await lendNewKey(async (raw) => ({
    key: await importKey(raw),
    wrapped: await wrapRecordKey(passphrase, raw),
  }));
  const boxes = await Promise.all(values.map((value) => seal(key, place, value)));
  return { wrapped: hexBox(wrapped), boxes: boxes.map(hexBox) };
}

export async function openHere(passphrase, wrapped, place, boxes) {
  const whole = { ...wrapped, salt: bytes(wrapped.salt), iv: bytes(wrapped.iv), ct: bytes(wrapped.ct) };
  const key = await unwrapRecordKey(passphrase, whole);
  return Promise.all(boxes.map(({ iv, ct }) => open(key, place, { iv: bytes(iv), ct: bytes(ct) })));
}
