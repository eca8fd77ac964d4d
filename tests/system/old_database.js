// Makes a database as it was dumped: its version, its stores with their indexes, its entries.
({ name, version, stores }) => {
  const opened = (request) =>
    new Promise((resolve, reject) => {
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
  const whole = (value) => {
    if (Array.isArray(value)) return value.map(whole);
    if (value === null || typeof value !== "object") return value;
    if ("bytes" in value) return Uint8Array.from(atob(value.bytes), (c) => c.charCodeAt(0));
    return Object.fromEntries(Object.entries(value).map(([key, part]) => [key, whole(part)]));
  };
  const request = indexedDB.open(name, version);
  request.onupgradeneeded = () => {
    for (const [store, { keyPath, indexes }] of Object.entries(stores)) {
      const made = request.result.createObjectStore(store, keyPath === null ? {} : { keyPath });
      for (const [index, path] of indexes) made.createIndex(index, path);
    }
  };
  return opened(request).then(async (db) => {
    const writing = db.transaction(Object.keys(stores), "readwrite");
    for (const [store, { keyPath, entries }] of Object.entries(stores))
      for (const [key, value] of entries)
        writing.objectStore(store).put(whole(value), ...(keyPath === null ? [key] : []));
    await new Promise((resolve) => (writing.oncomplete = resolve));
    db.close();
  });
};
