// Answers for kit cards, and for what they are drawn with, when there is no network. All else goes
// its way. Sign out, and the browser is told to throw everything kept away.
"use strict";

const SHELF = "kit-cards";
const PATIENCE = 4000;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("message", (event) => {
  const { page, files } = event.data;
  event.waitUntil(keep([page, ...files]).then((kept) => event.ports[0].postMessage({ kept })));
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== self.location.origin) return;
  if (request.method === "POST" && url.pathname === "/scheme") event.respondWith(scheme(request));
  if (request.method !== "GET") return;
  if (/^\/mine\/\d+\/card$/.test(url.pathname)) event.respondWith(card(request, url.pathname));
  else if (url.pathname.startsWith("/static/")) event.respondWith(file(request));
});

/** Puts a card and its parts on the shelf; tells whether all of them are there now. */
async function keep(addresses) {
  const shelf = await caches.open(SHELF);
  const each = addresses.map(async (address) => {
    try {
      const answer = await fetch(address);
      if (answer.ok && !answer.redirected) await shelf.put(address, answer);
    } catch {
      // No network: what lies there stays.
    }
    return Boolean(await shelf.match(address));
  });
  return (await Promise.all(each)).every(Boolean);
}

/** The card as it is now; where the network is gone or too slow, as it was kept. */
async function card(request, path) {
  const shelf = await caches.open(SHELF);
  const fresh = fetch(request).then(async (answer) => {
    if (answer.ok) await shelf.put(path, answer.clone());
    else if (answer.status === 404) await shelf.delete(path);
    return answer;
  });
  const kept = await shelf.match(path);
  if (!kept) return fresh;
  const late = new Promise((_, refuse) => setTimeout(refuse, PATIENCE));
  return Promise.race([fresh, late]).catch(() => inChosenColours(shelf, kept));
}

/** A file with a hash in its address never changes. */
async function file(request) {
  const kept = await (await caches.open(SHELF)).match(request);
  return kept ?? fetch(request);
}

/** Other colours; without a network they are remembered here for the cards. */
async function scheme(request) {
  const shelf = await caches.open(SHELF);
  const typed = await request.clone().formData();
  try {
    const answer = await fetch(request);
    await shelf.delete("/scheme");
    return answer;
  } catch {
    await shelf.put("/scheme", new Response(String(typed.get("scheme"))));
    return Response.redirect(String(typed.get("return") || "/"), 303);
  }
}

/** A kept card in the colours that were chosen without a network. */
async function inChosenColours(shelf, kept) {
  const chosen = await (await shelf.match("/scheme"))?.text();
  if (!["light", "dark", "red"].includes(chosen)) return kept;
  const page = (await kept.text())
    .replace(/data-scheme="\w+"/, `data-scheme="${chosen}"`)
    .replace(/name="color-scheme" content="[\w ]+"/, `name="color-scheme" content="${chosen === "light" ? "light" : "dark"}"`)
    .replaceAll('aria-pressed="true"', 'aria-pressed="false"')
    .replace(`value="${chosen}" aria-pressed="false"`, `value="${chosen}" aria-pressed="true"`);
  const headers = new Headers();
  for (const name of ["content-type", "content-security-policy"]) {
    if (kept.headers.has(name)) headers.set(name, kept.headers.get(name));
  }
  return new Response(page, { headers });
}
