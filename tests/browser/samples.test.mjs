// The rare states of every page (empty, crowded, refused), as the gallery's samples hold them.

import assert from "node:assert/strict";
import { after, before, describe, test } from "node:test";

import { launch, open } from "./house/browser.mjs";
import * as checks from "./house/checks.mjs";
import { schemes, widths } from "./house/pages.mjs";
import { sampleNames, serveSamples } from "./house/samples.mjs";

const names = await sampleNames();
let browser, samples;

before(async () => {
  samples = await serveSamples();
  browser = await launch();
});

after(async () => {
  await browser?.close();
  await samples?.stop();
});

async function look(name, scheme, width, find) {
  const { page, context, watch } = await open(browser, { width, base: samples.base });
  try {
    await page.goto(samples.address(name, scheme));
    await page.evaluate(() => document.fonts.ready);
    assert.deepEqual([...(await find(page)), ...watch.faults], []);
  } finally {
    await context.close();
  }
}

test("there are samples to look at", () => assert.ok(names.length >= 15, `${names.length} samples`));

for (const name of names) {
  describe(`the sample ${name}`, () => {
    for (const scheme of schemes) {
      test(`is open to everybody in ${scheme}`, async () => {
        for (const width of widths) {
          await look(name, scheme, width, async (page) => {
            const faults = await checks.accessibility(page);
            faults.push(...(await checks.sidewaysScroll(page)));
            if (width < 600) faults.push(...(await checks.smallTargets(page)));
            if (scheme === "red") {
              faults.push(...checks.redLight(await page.screenshot({ fullPage: true })));
            }
            return faults;
          });
        }
      });
    }

    test("fits 320 px without scrolling sideways, and with wider text spacing", () =>
      look(name, "light", 320, async (page) => [
        ...(await checks.sidewaysScroll(page)),
        ...(await checks.textSpacing(page)),
      ]));
  });
}
