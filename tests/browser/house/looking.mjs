// What a page is held to in one scheme: the same walk through the widths for pages and samples.

import * as checks from "./checks.mjs";
import { sizeOf } from "./browser.mjs";
import { widths } from "./pages.mjs";

/** Narrow, wide and, in light, as narrow as WCAG 1.4.10 asks for: the faults of each width. */
export async function lookThrough(page, scheme) {
  const faults = [];
  const at = (width, found) => faults.push(...found.map((fault) => `at ${width} px: ${fault}`));
  for (const width of widths) {
    await page.setViewportSize(sizeOf(width));
    at(width, await inScheme(page, scheme, width));
    at(width, await checks.sidewaysScroll(page));
    if (width < 600) at(width, await checks.smallTargets(page));
  }
  if (scheme === "light") {
    await page.setViewportSize({ width: 320, height: 800 });
    at(320, await checks.sidewaysScroll(page));
    at(320, await checks.stillness(page));
    // Last, because it leaves its style sheet behind.
    at(320, await checks.textSpacing(page));
  }
  return faults;
}

/**
 * Only colours differ between the schemes: one of them is held to every rule, at every width, and
 * the others to contrast, which no width changes.
 */
async function inScheme(page, scheme, width) {
  if (scheme === "light") return checks.accessibility(page);
  const faults = width === widths[0] ? await checks.contrast(page) : [];
  if (scheme === "red") faults.push(...checks.redLight(await page.screenshot({ fullPage: true })));
  return faults;
}
