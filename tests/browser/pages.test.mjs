// Every page, in every scheme and width, of a running demo club.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import path from "node:path";
import { after, before, describe, test } from "node:test";

import { launch, signIn, visit } from "./house/browser.mjs";
import * as checks from "./house/checks.mjs";
import { noPages, pages, schemes, widths } from "./house/pages.mjs";
import { repository, startDemo } from "./house/service.mjs";

let browser, service;
const states = {};

before(async () => {
  service = await startDemo();
  browser = await launch();
  for (const role of new Set(pages.map((page) => page.who).filter(Boolean))) {
    states[role] = await signIn(browser, service, role);
  }
});

after(async () => {
  await browser?.close();
  assert.equal(await service?.stop(), 0, "the service ends well when it is asked to stop");
});

/** Opens a page, looks at it and closes it; the browser's own complaints are faults too. */
async function look(entry, how, find) {
  const { page, context, watch, status } = await visit(browser, service, states, entry, how);
  try {
    const faults = [...(await find(page)), ...watch.faults];
    assert.equal(status, entry.status ?? 200, "the status of the page");
    assert.deepEqual(faults, []);
  } finally {
    await context.close();
  }
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
      for (const width of widths) {
        test(`is open to everybody in ${scheme}, ${width} px wide`, () =>
          look(entry, { scheme, width }, async (page) => {
            const shown = await page.locator("html").getAttribute("data-scheme");
            const faults = shown === scheme ? [] : [`the page is shown in ${shown}`];
            if (scheme === "red") {
              faults.push(...checks.redLight(await page.screenshot({ fullPage: true })));
            }
            if (width < 600) faults.push(...(await checks.smallTargets(page)));
            faults.push(...(await checks.sidewaysScroll(page)));
            faults.push(...(await checks.accessibility(page)));
            return faults;
          }));
      }
    }

    test("fits 320 px without scrolling sideways, and with wider text spacing", () =>
      look(entry, { scheme: "light", width: 320 }, async (page) => [
        ...(await checks.sidewaysScroll(page)),
        ...(await checks.textSpacing(page)),
      ]));

    test("can be walked with the Tab key, and shows where the focus is", () =>
      look(entry, { scheme: "dark", width: 360 }, checks.keyboard));

    test("shows the focus in red light too, and stays red", () =>
      look(entry, { scheme: "red", width: 360 }, async (page) => {
        const faults = await checks.keyboard(page);
        await page.keyboard.press("Tab");
        return [...faults, ...checks.redLight(await page.screenshot())];
      }));

    test("keeps still for readers who want no motion", () =>
      look(entry, { scheme: "light", width: 360 }, checks.stillness));
  });
}
