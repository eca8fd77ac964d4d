/** Hands a file that the app has over to the person: in a tab of its own, or to keep. */

/** Until then the other side has read it. */
const READ_BY_MS = 60_000;

export function openFile(file: Blob): void {
  atAddress(file, (url) => window.open(url, "_blank", "noopener"));
}

export function keepFile(file: Blob, name: string): void {
  atAddress(file, (url) => {
    const link = document.createElement("a");
    link.href = url;
    link.download = name;
    link.click();
  });
}

function atAddress(file: Blob, use: (url: string) => void): void {
  const url = URL.createObjectURL(file);
  use(url);
  setTimeout(() => {
    URL.revokeObjectURL(url);
  }, READ_BY_MS);
}
