// Every page, in every scheme and width, of a running demo club.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import path from "node:path";
import { after, before, describe, test } from "node:test";

import { NARROW, Windows, launch, signIn, sizeOf } from "./house/browser.mjs";
import * as checks from "./house/checks.mjs";
import { lookThrough } from "./house/looking.mjs";
import { noPages, pages, schemes } from "./house/pages.mjs";
import { repository, startDemo } from "./house/service.mjs";

let browser, service, windows;
const states = {};
/** By scheme, the makes of stops that were seen to show their focus. */
const focusSeen = new Map([["dark", new Set()], ["red", new Set()]]);

before(async () => {
  service = await startDemo();
  browser = await launch();
  windows = new Windows(browser);
  for (const role of new Set(pages.map((page) => page.who).filter(Boolean))) {
    states[role] = await signIn(browser, service, role);
  }
});

after(async () => {
  await browser?.close();
  assert.equal(await service?.stop(), 0, "the service ends well when it is asked to stop");
});

/** Opens a page and looks at it; the browser's own complaints are faults too. */
async function look(entry, scheme, find) {
  const { page, watch, status } = await windows.visit(service, states, entry, scheme);
  const faults = [...(await find(page)), ...watch.faults];
  assert.equal(status, entry.status ?? 200, "the status of the page");
  assert.deepEqual(faults, []);
}

test("every page in the service's table of addresses is looked at", async () => {
  const table = await readFile(path.join(repository, "src/app.rs"), "utf8");
  const addresses = [...table.matchAll(/\bat\(\s*GET,\s*"([^"]+)"/g)].map((found) => found[1]);
  assert.ok(addresses.length > 8, `only ${addresses.length} addresses were understood`);
  const known = [...noPages, ...pages.map((page) => page.address)];
  const missed = addresses.filter((address) => !known.includes(address));
  assert.deepEqual(missed, [], "give these pages a line in tests/browser/house/pages.mjs");
});

for (const entry of pages) {
  describe(`the page ${entry.name}`, () => {
    for (const scheme of schemes) {
      const seen = focusSeen.get(scheme);
      const walked = seen ? ", and by the Tab key, which shows where the focus is" : "";
      test(`is open to everybody in ${scheme}, at every width${walked}`, () =>
        look(entry, scheme, async (page) => {
          const shown = await page.locator("html").getAttribute("data-scheme");
          const faults = shown === scheme ? [] : [`the page is shown in ${shown}`];
          faults.push(...(await lookThrough(page, scheme)));
          await page.setViewportSize(sizeOf(NARROW));
          if (seen) faults.push(...(await checks.keyboard(page, { seen, red: scheme === "red" })));
          return faults;
        }));
    }
  });
}
