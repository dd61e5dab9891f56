// The rare states of every page (empty, crowded, refused), as the gallery's samples hold them.

import assert from "node:assert/strict";
import { after, before, describe, test } from "node:test";

import { Windows, launch } from "./house/browser.mjs";
import { lookThrough } from "./house/looking.mjs";
import { schemes } from "./house/pages.mjs";
import { sampleNames, serveSamples } from "./house/samples.mjs";

const names = await sampleNames();
let browser, samples, windows;

before(async () => {
  samples = await serveSamples();
  browser = await launch();
  windows = new Windows(browser);
});

after(async () => {
  await browser?.close();
  await samples?.stop();
});

test("there are samples to look at", () => assert.ok(names.length >= 15, `${names.length} samples`));

for (const name of names) {
  describe(`the sample ${name}`, () => {
    for (const scheme of schemes) {
      test(`is open to everybody in ${scheme}, at every width`, async () => {
        // Nothing is kept for later here: the service's own pages are tested for that.
        const how = { base: samples.base, serviceWorkers: "block" };
        const { page, watch } = await windows.of(scheme, how);
        await page.goto(samples.address(name, scheme));
        await page.evaluate(() => document.fonts.ready);
        assert.deepEqual([...(await lookThrough(page, scheme)), ...watch.faults], []);
      });
    }
  });
}
