/**
 * One peer's server on loopback, in memory: `node loopback.mjs SIDE RECORDED PAGES` prints its port.
 * SIDE is a file of sides/. RECORDED is what tests/bench/recorded.py wrote, PAGES what bundle.mjs built.
 */
import { readFileSync } from "node:fs";
import { createServer } from "node:http";
import { join } from "node:path";
import { gunzipSync } from "node:zlib";

const [side, recordedFile, pages] = process.argv.slice(2);
const recorded = JSON.parse(readFileSync(recordedFile, "utf8"));
const { open } = await import(`./sides/${side}.mjs`);
const { routes, fallback = null } = await open(recorded);

const files = {
  "/": [
    "text/html",
    `<!doctype html><title>bench</title><script type="module" src="/peer.js"></script>`,
  ],
  "/peer.js": ["text/javascript", readFileSync(join(pages, `${side}.js`))],
};

async function answer(request, reply) {
  const path = new URL(request.url, "http://localhost").pathname;
  if (path in files) return send(reply, 200, ...files[path]);
  const route = routes[`${request.method} ${path}`];
  if (route !== undefined) return sendJson(reply, route(await bodyOf(request), request));
  if (fallback !== null) return fallback(request, reply);
  return send(reply, 404, "text/plain", path);
}

async function bodyOf(request) {
  const parts = [];
  for await (const part of request) parts.push(part);
  const sent = Buffer.concat(parts);
  if (sent.length === 0) return null;
  const plain = request.headers["content-encoding"] === "gzip" ? gunzipSync(sent) : sent;
  return JSON.parse(plain.toString());
}

function sendJson(reply, { status = 200, body = null, headers = {} }) {
  for (const [name, value] of Object.entries(headers)) reply.setHeader(name, value);
  send(reply, status, "application/json", body === null ? "" : JSON.stringify(body));
}

function send(reply, status, type, body) {
  reply.writeHead(status, { "Content-Type": type, "Cache-Control": "no-store" });
  reply.end(body);
}

const server = createServer((request, reply) => {
  answer(request, reply).catch((fault) => send(reply, 500, "text/plain", String(fault.stack)));
});
server.listen(0, "127.0.0.1", () => process.stdout.write(`${server.address().port}\n`));
