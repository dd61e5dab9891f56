// The pictures in the README and the guides, taken from the demo: static/help/*.png.
// Usage: tests/run pictures

import { mkdir, stat } from "node:fs/promises";
import path from "node:path";

import { launch, signIn, visit } from "./house/browser.mjs";
import { pages } from "./house/pages.mjs";
import { repository, startDemo } from "./house/service.mjs";

const folder = path.join(repository, "static/help");
await mkdir(folder, { recursive: true });

const pictures = [
  { file: "answer.png", page: "answer", scheme: "light", width: 390 },
  { file: "powers.png", page: "answer", scheme: "light", width: 390, part: "#powers-title + figure" },
  { file: "desk.png", page: "desk", scheme: "light", width: 390 },
  { file: "shelf.png", page: "shelf-narrowed", scheme: "light", width: 390 },
  { file: "public-night.png", page: "public-night-moon", scheme: "light", width: 390, from: "#plan" },
  { file: "red-light.png", page: "answer", scheme: "red", width: 390, from: "#views-title" },
];

const browser = await launch();
const service = await startDemo();
try {
  const states = {};
  for (const role of ["member", "quartermaster", "outreach"]) {
    states[role] = await signIn(browser, service, role);
  }
  for (const { file, page: name, scheme, width, part, from } of pictures) {
    const entry = pages.find((page) => page.name === name);
    const how = { scheme, width, viewport: { width, height: 780 } };
    const { page, context } = await visit(browser, service, states, entry, how);
    const target = path.join(folder, file);
    if (from) await page.locator(from).evaluate((element) => element.scrollIntoView());
    if (part) await page.locator(part).screenshot({ path: target });
    else await page.screenshot({ path: target });
    console.log(`${file}: ${(await stat(target)).size} bytes`);
    await context.close();
  }
} finally {
  await service.stop();
  await browser.close();
}
