// A picture of every page in every scheme and width, with an index to look through.
// Usage: node gallery.mjs FOLDER

import { mkdir, rm, writeFile } from "node:fs/promises";
import path from "node:path";

import { launch, open, signIn, visit } from "./house/browser.mjs";
import { pages, schemes, widths } from "./house/pages.mjs";
import { sampleNames, serveSamples } from "./house/samples.mjs";
import { startDemo, today } from "./house/service.mjs";

const folder = path.resolve(process.argv[2] ?? "target/gallery");
await rm(folder, { recursive: true, force: true });
await mkdir(folder, { recursive: true });

const browser = await launch();
const shots = [];

async function shoot(page, name, scheme, width) {
  const file = `${name}-${scheme}-${width}.png`;
  await page.screenshot({ path: path.join(folder, file), fullPage: true });
  shots.push({ name, scheme, width, file });
  console.log(file);
}

const service = await startDemo();
try {
  const states = {};
  for (const role of new Set(pages.map((page) => page.who).filter(Boolean))) {
    states[role] = await signIn(browser, service, role);
  }
  for (const entry of pages) {
    for (const scheme of schemes) {
      for (const width of widths) {
        const { page, context } = await visit(browser, service, states, entry, { scheme, width });
        await shoot(page, entry.name, scheme, width);
        await context.close();
      }
    }
  }
} finally {
  await service.stop();
}

const samples = await serveSamples();
for (const name of await sampleNames()) {
  for (const scheme of schemes) {
    for (const width of widths) {
      const { page, context } = await open(browser, { width, base: samples.base });
      await page.goto(samples.address(name, scheme));
      await page.evaluate(() => document.fonts.ready);
      await shoot(page, `sample-${name}`, scheme, width);
      await context.close();
    }
  }
}
await samples.stop();
await browser.close();

const rows = Map.groupBy
  ? Map.groupBy(shots, (shot) => shot.name)
  : shots.reduce((map, shot) => map.set(shot.name, [...(map.get(shot.name) ?? []), shot]), new Map());
const sections = [...rows].map(
  ([name, of]) => `<section><h2>${name}</h2><div>${of
    .map(
      ({ file, scheme, width }) =>
        `<figure><a href="${file}"><img loading="lazy" src="${file}" alt="${name}, ${scheme}, ${width} px"></a>` +
        `<figcaption>${scheme}, ${width} px</figcaption></figure>`,
    )
    .join("")}</div></section>`,
);
await writeFile(
  path.join(folder, "index.html"),
  `<!doctype html><html lang="en-GB"><meta charset="utf-8"><title>Gallery</title><style>
body { font: 16px/1.4 sans-serif; margin: 2rem; background: #555; color: #fff }
section > div { display: flex; gap: 1rem; overflow-x: auto; align-items: flex-start }
figure { margin: 0; flex: none } img { max-height: 480px; max-width: 640px; object-fit: contain }
</style><h1>Every page, scheme and width, as of ${today} in the demo</h1>${sections.join("\n")}</html>\n`,
);
console.log(`${shots.length} pictures in ${folder}`);
