// What every page is held to. Each check gives a list of faults in plain words; none is good.

import { createRequire } from "node:module";
import { readFile } from "node:fs/promises";
import { PNG } from "pngjs";

const require = createRequire(import.meta.url);
const engine = await readFile(require.resolve("axe-core/axe.min.js"), "utf8");

const everyRule = {
  runOnly: {
    type: "tag",
    values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
  },
  rules: { "target-size": { enabled: true } },
  resultTypes: ["violations"],
};

const contrastRule = { runOnly: { type: "rule", values: ["color-contrast"] }, resultTypes: ["violations"] };

/** WCAG 2.2 level A and AA as far as a machine can tell, `target-size` (2.5.8) included. */
export const accessibility = (page) => asked(page, everyRule);

/** WCAG 1.4.3 alone: what another scheme can spoil on a page whose other rules hold. */
export const contrast = (page) => asked(page, contrastRule);

async function asked(page, rules) {
  if (!(await page.evaluate(() => Boolean(globalThis.axe)))) await page.evaluate(engine);
  const found = await page.evaluate((rules) => globalThis.axe.run(document, rules), rules);
  return found.violations.flatMap((rule) =>
    rule.nodes.map((node) => `${rule.id}: ${rule.help}: ${node.target.join(" ")} (${node.failureSummary})`),
  );
}

/** WCAG 1.4.10: nothing makes the page scroll sideways. */
export function sidewaysScroll(page) {
  return page.evaluate(() => {
    const room = document.documentElement.clientWidth;
    const wide = document.documentElement.scrollWidth;
    if (wide <= room) return [];
    const culprits = [...document.body.querySelectorAll("*")]
      .filter((element) => element.getBoundingClientRect().right > room + 1)
      .slice(0, 3)
      .map((element) => `<${element.tagName.toLowerCase()} class="${element.getAttribute("class") ?? ""}">`);
    return [`${wide} px wide in ${room}: ${culprits.join(", ")}`];
  });
}

/** Things to touch are at least 44 px high and wide; a box to tick counts with its label. */
export function smallTargets(page, least = 44) {
  return page.evaluate((least) => {
    const outOfSight = (element) => (element.offsetWidth <= 2 ? element.labels?.[0] : null);
    const wanted = "button, summary, select, textarea, input:not([type=hidden]), nav a, a.button";
    return [...document.querySelectorAll(wanted)]
      // A box to tick, or a file's field that is out of sight, is touched by its label.
      .map((element) => element.closest("label") ?? outOfSight(element) ?? element)
      .filter((element) => element.checkVisibility())
      .map((element) => ({ element, box: element.getBoundingClientRect() }))
      .filter(({ box }) => box.width > 0 && (box.height < least - 0.5 || box.width < least - 0.5))
      .map(({ element, box }) => {
        const words = element.textContent.trim().slice(0, 30) || element.getAttribute("name");
        return `"${words}" is ${box.width.toFixed(0)} × ${box.height.toFixed(0)} px`;
      });
  }, least);
}

/** Red light: no green or blue in any pixel, and dark on the whole (WCAG relative luminance). */
export function redLight(png) {
  const { data, width, height } = PNG.sync.read(png);
  let luminance = 0;
  for (let at = 0; at < data.length; at += 4) {
    luminance += 0.2126 * linear[data[at]] + 0.7152 * linear[data[at + 1]] + 0.0722 * linear[data[at + 2]];
  }
  const faults = straysOf({ data, width });
  const mean = luminance / (width * height);
  if (mean > 0.02) faults.push(`mean relative luminance ${mean.toFixed(4)} is above 0.02`);
  return faults;
}

/** Pixels with green or blue in them. */
export const strays = (png) => straysOf(PNG.sync.read(png));

function straysOf({ data, width }) {
  let stray = 0;
  let first = null;
  for (let at = 0; at < data.length; at += 4) {
    if (data[at + 1] <= 2 && data[at + 2] <= 2) continue;
    stray += 1;
    first ??= at / 4;
  }
  if (stray === 0) return [];
  const [r, g, b] = data.subarray(first * 4, first * 4 + 3);
  const place = `${first % width}, ${Math.floor(first / width)}`;
  return [`${stray} pixels are not red; the first at ${place} is rgb(${r}, ${g}, ${b})`];
}

const linear = Array.from({ length: 256 }, (_, value) => {
  const part = value / 255;
  return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
});

/** How many pixels of two pictures of one size differ. */
export function difference(one, other) {
  const [a, b] = [PNG.sync.read(one), PNG.sync.read(other)];
  if (a.width !== b.width || a.height !== b.height) return Infinity;
  let count = 0;
  for (let at = 0; at < a.data.length; at += 4) {
    const far = [0, 1, 2].some((part) => Math.abs(a.data[at + part] - b.data[at + part]) > 24);
    if (far) count += 1;
  }
  return count;
}

/**
 * WCAG 2.1.2, 2.4.3, 2.4.7: Tab goes through the page in the order of its source and out again,
 * and every stop looks different from when it is not focused. What was `seen` to show its focus,
 * a stop of the same make in the same surroundings, is not photographed again. In `red` light the
 * focus has to be red too.
 */
export async function keyboard(page, { seen = new Set(), red = false } = {}) {
  const faults = [];
  await page.evaluate(() => {
    document.activeElement?.blur();
    globalThis.lastStop = document.body;
    globalThis.firstStop = null;
  });
  let stops = 0;
  for (; stops < 250; stops += 1) {
    await page.keyboard.press("Tab");
    const stop = await page.evaluate(whereTheFocusIs);
    if (!stop) break;
    if (stop.round) {
      if (!(await leavesAfterAll(page))) faults.push(`Tab comes round to "${stop.words}" and never leaves the page`);
      break;
    }
    if (stop.backwards) faults.push(`Tab jumps back to "${stop.words}"`);
    if (stop.hidden) faults.push(`"${stop.words}" takes the focus but is not to be seen`);
    if (stop.hidden || seen.has(stop.make)) continue;
    const [focused, plain] = await withAndWithoutFocus(page, stop.clip);
    if (difference(plain, focused) < 40) faults.push(`"${stop.words}" does not show its focus`);
    else seen.add(stop.make);
    if (red) faults.push(...strays(focused).map((fault) => `"${stop.words}" with the focus: ${fault}`));
  }
  if (stops === 0) faults.push("Tab reaches nothing");
  if (stops === 250) faults.push("Tab never leaves the page");
  return faults;
}

/**
 * From the last stop the browser's own controls come next, one further each time, and now and then
 * they come round to the page's first stop. Then one more try leaves the page, unless it holds us.
 */
async function leavesAfterAll(page) {
  await page.evaluate(() => globalThis.lastStop.focus());
  await page.keyboard.press("Tab");
  return page.evaluate(() => !document.activeElement || document.activeElement === document.body);
}

/** In the page: the stop that has the focus, its make and surroundings, and its part of the window. */
function whereTheFocusIs() {
  const here = document.activeElement;
  if (!here || here === document.body) return null;
  const last = globalThis.lastStop;
  const backwards =
    last && last !== document.body &&
    Boolean(last.compareDocumentPosition(here) & Node.DOCUMENT_POSITION_PRECEDING);
  globalThis.firstStop ??= here;
  const round = last !== document.body && here === globalThis.firstStop;
  if (!round) globalThis.lastStop = here;
  const words = (here.textContent.trim() || here.getAttribute("name") || here.tagName).slice(0, 40);
  here.scrollIntoView({ block: "center" });
  const box = here.getBoundingClientRect();
  const make = [];
  for (let at = here; at && at !== document.body && make.length < 5; at = at.parentElement) {
    make.push([at.tagName, at.getAttribute("class") ?? "", at.getAttribute("type") ?? ""].join("."));
  }
  // The label around a box to tick may show its focus; the skip link comes from outside.
  const shown = (here.closest("label") ?? here).getBoundingClientRect();
  const x = Math.max(0, Math.min(box.left, shown.left) - 12);
  const y = Math.max(0, Math.min(box.top, shown.top) - 12);
  const right = Math.min(innerWidth, Math.max(box.right, shown.right) + 12);
  const bottom = Math.min(innerHeight, Math.max(box.bottom, shown.bottom) + 12);
  const hidden = box.width === 0 || box.height === 0 || right <= x || bottom <= y;
  const clip = { x, y, width: right - x, height: bottom - y };
  return { words, round, backwards, hidden, make: make.join(" < "), clip };
}

/** The same part of the window twice, so that only the focus makes the difference. */
async function withAndWithoutFocus(page, clip) {
  const focused = await page.screenshot({ clip });
  await page.evaluate(() => {
    globalThis.stop = document.activeElement;
    globalThis.stop.blur();
  });
  const plain = await page.screenshot({ clip });
  await page.evaluate(() => globalThis.stop.focus({ focusVisible: true, preventScroll: true }));
  return [focused, plain];
}

/** WCAG 1.4.12: the reader's own text spacing cuts nothing and widens nothing. */
export async function textSpacing(page) {
  await page.evaluate(() => {
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(
      "* { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important }" +
        " p { margin-bottom: 2em !important }",
    );
    document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
  });
  const cut = await page.evaluate(() =>
    [...document.querySelectorAll("main *, header *, footer *")]
      .filter((element) => {
        const style = getComputedStyle(element);
        const hides = ["hidden", "clip"].includes(style.overflowX);
        const words = [...element.childNodes].some((n) => n.nodeType === 3 && n.data.trim());
        const offstage = style.position === "absolute" && element.clientWidth <= 1;
        return hides && words && !offstage && element.scrollWidth > element.clientWidth + 1;
      })
      .map((element) => `"${element.textContent.trim().slice(0, 40)}" is cut`),
  );
  return [...(await sidewaysScroll(page)), ...cut];
}

/** Nothing moves for readers who asked for stillness. */
export function stillness(page) {
  return page.evaluate(() =>
    [...document.querySelectorAll("*")]
      .filter((element) => {
        const style = getComputedStyle(element);
        const seconds = (list) => Math.max(...list.split(",").map((part) => parseFloat(part)));
        return (
          seconds(style.transitionDuration) > 0.001 ||
          (style.animationName !== "none" && seconds(style.animationDuration) > 0.001)
        );
      })
      .slice(0, 3)
      .map((element) => `<${element.tagName.toLowerCase()}> moves although motion is unwanted`),
  );
}

/** Bytes on the wire of a first visit, by kind of file. */
export async function weighing(page) {
  const session = await page.context().newCDPSession(page);
  await session.send("Network.enable");
  await session.send("Network.setCacheDisabled", { cacheDisabled: true });
  const kinds = new Map();
  const weight = { requests: 0, html: 0, css: 0, js: 0, font: 0, image: 0, all: 0 };
  const names = { Document: "html", Stylesheet: "css", Script: "js", Font: "font", Image: "image" };
  session.on("Network.responseReceived", ({ requestId, type }) => kinds.set(requestId, type));
  session.on("Network.loadingFinished", ({ requestId, encodedDataLength }) => {
    const name = names[kinds.get(requestId)];
    weight.requests += 1;
    weight.all += encodedDataLength;
    if (name) weight[name] += encodedDataLength;
  });
  return weight;
}
