// Filling in a piece: what is odd is said while it is typed.

import assert from "node:assert/strict";
import { after, before, describe, test } from "node:test";

import { launch, open, signIn } from "./house/browser.mjs";
import * as checks from "./house/checks.mjs";
import { schemes } from "./house/pages.mjs";
import { startDemo } from "./house/service.mjs";

let browser, service, state;

before(async () => {
  service = await startDemo();
  browser = await launch();
  state = await signIn(browser, service, "quartermaster");
});

after(async () => {
  await browser?.close();
  await service?.stop();
});

describe("a piece that is filled in", () => {
  for (const scheme of schemes) {
    test(`is looked over while it is typed in ${scheme}`, async () => {
      const { page, context, watch } = await open(browser, { width: 360, base: service.base, scheme, state });
      try {
        await page.goto(service.base + "/stock/new/eyepiece");
        const said = page.locator("#doubts[role=status]");
        assert.equal(await said.textContent(), "");
        const type = async (column, text) => {
          await page.locator(`#${column}`).fill("");
          await page.locator(`#${column}`).pressSequentially(text);
        };
        const barrel = page.locator("#barrel_mm");
        if (scheme === "red") await barrel.locator("[value='31.75']").check();
        else await barrel.selectOption("31.75");
        await type("focal_length_mm", "30");
        await page.locator("summary", { hasText: "Everything else" }).click();
        await type("field_stop_mm", "40");
        await page.waitForFunction(() => /field stop/i.test(document.getElementById("doubts").textContent));
        assert.match(await said.textContent(), /31\.75|31\.8/, "the server's sentence");
        // It is in sight where the thumb is, and covers nothing that has the focus.
        const [box, field] = [await said.boundingBox(), await page.locator("#field_stop_mm").boundingBox()];
        assert.ok(box.y >= 0 && box.y + box.height <= 801, `in sight: ${JSON.stringify(box)}`);
        assert.ok(field.y + field.height <= box.y, "the field stays free");
        if (scheme === "red") assert.deepEqual(checks.redLight(await page.screenshot({ fullPage: true })), []);
        await type("field_stop_mm", "26");
        await page.waitForFunction(() => document.getElementById("doubts").textContent === "");
        assert.deepEqual(watch.faults, []);
      } finally {
        await context.close();
      }
    });
  }

  test("has a button that asks the same without JavaScript", async () => {
    const { page, context } = await open(browser, { width: 360, base: service.base, state, javaScript: false });
    try {
      await page.goto(service.base + "/stock/new/eyepiece");
      await page.locator("#name").fill("Wide");
      await page.locator("#focal_length_mm").fill("30");
      await page.locator("#apparent_field_deg").fill("82");
      await page.locator("#barrel_mm").selectOption("31.75");
      await page.getByRole("button", { name: "Look it over first" }).click();
      assert.match(await page.locator("#doubts[role=status]").textContent(), /has room for/);
    } finally {
      await context.close();
    }
  });
});
