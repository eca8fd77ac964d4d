// The same records without the app: one IndexedDB store, one getAll, one AES-GCM key.
async (tries) => {
  const opened = (request) => new Promise((done, failed) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => failed(request.error);
  });
  const app = await opened(indexedDB.open("heelwright"));
  const blocks = await opened(app.transaction("blocks").objectStore("blocks").getAll());
  app.close();
  const sizes = blocks.flatMap(({ ct, rows }) => Array(rows).fill(Math.round(ct.length / rows)));
  const key = await crypto.subtle.generateKey({ name: "AES-GCM", length: 256 }, false, [
    "encrypt", "decrypt",
  ]);
  const opening = indexedDB.open("bare");
  opening.onupgradeneeded = () => opening.result.createObjectStore("rows", { autoIncrement: true });
  const bare = await opened(opening);
  const sealed = await Promise.all(sizes.map(async (size) => {
    const iv = crypto.getRandomValues(new Uint8Array(12));
    const text = JSON.stringify("x".repeat(Math.max(0, size - 18)));
    const plain = new TextEncoder().encode(text);
    return { iv, ct: await crypto.subtle.encrypt({ name: "AES-GCM", iv }, key, plain) };
  }));
  const store = bare.transaction("rows", "readwrite").objectStore("rows");
  await Promise.all(sealed.map((box) => opened(store.add(box))));
  const seconds = [];
  for (let number = 0; number < tries; number += 1) {
    const began = performance.now();
    const boxes = await opened(bare.transaction("rows").objectStore("rows").getAll());
    await Promise.all(boxes.map(async ({ iv, ct }) => {
      const plain = await crypto.subtle.decrypt({ name: "AES-GCM", iv }, key, ct);
      return JSON.parse(new TextDecoder().decode(plain));
    }));
    seconds.push((performance.now() - began) / 1000);
  }
  bare.close();
  return { seconds, records: sizes.length };
}
