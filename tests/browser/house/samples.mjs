// Serves the sample pages that `cargo test --lib gallery -- --ignored` writes: the rare states
// (empty, crowded, refused) that a walk through the demo does not meet.

import { createServer } from "node:http";
import { existsSync } from "node:fs";
import { readFile, readdir } from "node:fs/promises";
import path from "node:path";

import { repository } from "./service.mjs";

const kinds = {
  ".html": "text/html; charset=utf-8",
  ".css": "text/css",
  ".js": "text/javascript",
  ".svg": "image/svg+xml",
  ".woff2": "font/woff2",
};

const policy =
  "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; " +
  "form-action 'self'; base-uri 'none'; object-src 'none'; frame-ancestors 'none'";

const folder = path.join(repository, "target/preview");

/** Names of the sample pages, without scheme and ending. */
export async function sampleNames() {
  if (!existsSync(folder)) {
    throw new Error("No sample pages yet. Write them: cargo test --lib gallery -- --ignored");
  }
  const files = await readdir(folder);
  return files
    .filter((name) => name.endsWith("-light.html"))
    .map((name) => name.replace(/-light\.html$/, ""))
    .sort();
}

/** A server of the sample pages: `address(name, scheme)`, `base` and `stop()`. */
export async function serveSamples() {
  const server = createServer(async (request, response) => {
    const asked = decodeURIComponent(new URL(request.url, "http://here").pathname);
    // Samples name photos that no database holds: any picture stands in for them.
    const named = asked.startsWith("/photos/") ? "/static/icon.svg" : asked;
    const file = path.join(repository, path.normalize(named));
    const open = ["target/preview", "static"].some((under) =>
      file.startsWith(path.join(repository, under) + path.sep),
    );
    try {
      if (!open) throw new Error("outside");
      const body = await readFile(file);
      response.writeHead(200, {
        "content-type": kinds[path.extname(file)] ?? "application/octet-stream",
        "content-security-policy": policy,
      });
      response.end(body);
    } catch {
      response.writeHead(404, { "content-type": "text/plain" }).end("not there");
    }
  });
  await new Promise((resolve) => server.listen(0, "127.0.0.1", resolve));
  const base = `http://127.0.0.1:${server.address().port}`;
  return {
    base,
    address: (name, scheme) => `${base}/target/preview/${name}-${scheme}.html`,
    stop: () => new Promise((resolve) => server.close(resolve)),
  };
}
