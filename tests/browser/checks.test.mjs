// The checks themselves: each finds its fault in a bad page, and nothing in a good one.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";

import { launch } from "./house/browser.mjs";
import * as checks from "./house/checks.mjs";

let browser;
before(async () => (browser = await launch()));
after(() => browser?.close());

const page = (style, body) =>
  `<!doctype html><html lang="en"><head><meta charset="utf-8"><title>A page</title>
   <meta name="viewport" content="width=device-width, initial-scale=1"><style>${style}</style></head>
   <body><main><h1>A page</h1>${body}</main></body></html>`;

const good = page(
  "html { background: #000; color: #eb0000 } :focus { outline: 3px solid #eb0000 } button " +
    "{ min-height: 44px; min-width: 44px; color: #eb0000; background: #000; border: 2px solid #b70000 }",
  "<button>One</button> <button>Two</button>",
);

async function judge(html, find, { width = 360, reducedMotion = "reduce" } = {}) {
  const context = await browser.newContext({ viewport: { width, height: 600 }, reducedMotion });
  try {
    const opened = await context.newPage();
    await opened.setContent(html);
    return await find(opened);
  } finally {
    await context.close();
  }
}

const shot = async (opened) => checks.redLight(await opened.screenshot());

const inRed = (opened) => checks.keyboard(opened, { red: true });

const cases = [
  ["a picture without words", checks.accessibility, page("", "<img src='data:,'>"), /image-alt/],
  ["grey on grey", checks.accessibility, page("p { color: #777; background: #999 }", "<p>Hm.</p>"), /color-contrast/],
  ["grey on grey, where only colours are asked for", checks.contrast, page("p { color: #777; background: #999 }", "<p>Hm.</p>"), /color-contrast/],
  [
    "targets that touch and are too small",
    checks.accessibility,
    page(
      "button { width: 12px; height: 12px; padding: 0; margin: 0; border: 0; display: block }",
      "<button aria-label='a'></button><button aria-label='b'></button><button aria-label='c'></button>",
    ),
    /target-size/,
  ],
  ["a wide table", checks.sidewaysScroll, page("", "<div style='width: 500px'>wide</div>"), /wide in 360/],
  ["a low button", checks.smallTargets, page("button { height: 30px; min-width: 60px }", "<button>Go</button>"), /"Go" is/],
  ["a white pixel in red light", shot, page("html { background: #000; color: #fff }", ""), /not red/],
  ["a glaring red", shot, page("html { background: #f00; color: #000 }", ""), /luminance/],
  ["a focus that does not show", checks.keyboard, page("button { outline: none }", "<button>Go</button>"), /"Go" does not show/],
  ["a focus that is not red in red light", inRed, page("button:focus { outline: 3px solid #00f }", "<button>Go</button>"), /not red/],
  [
    "an order of its own",
    checks.keyboard,
    page("", "<button tabindex='2'>Second</button><button tabindex='1'>First</button>"),
    /jumps back/,
  ],
  [
    "a page that sends the last stop to the first",
    checks.keyboard,
    page(
      ":focus { outline: 3px solid } [tabindex='0'] { display: inline-block }",
      "<button>One</button><span tabindex='0' onfocus='this.previousSibling.focus()'>Two</span>",
    ),
    /comes round to "One"/,
  ],
  ["a page without a stop", checks.keyboard, page("", "<p>Nothing.</p>"), /reaches nothing/],
  [
    "text that is cut when spaced out",
    checks.textSpacing,
    page("p { width: 90px; overflow: hidden; white-space: nowrap; display: block }", "<p>A sentence</p>"),
    /is cut/,
  ],
  [
    "motion where none is wanted",
    checks.stillness,
    page("button { transition: color 0.2s }", "<button>Go</button>"),
    /moves/,
  ],
];

for (const [fault, find, html, expected] of cases) {
  test(`${fault} is found`, async () => {
    const found = await judge(html, find);
    assert.match(found.join("\n"), expected);
  });
}

test("a good page has no fault", async () => {
  for (const find of new Set(cases.map(([, find]) => find))) {
    assert.deepEqual(await judge(good, find), [], find.name);
  }
});

test("a stop whose make was seen to show its focus is not photographed again", async () => {
  const seen = new Set();
  const find = (opened) => checks.keyboard(opened, { seen });
  const three = "<button>One</button><p><button class='odd'>Two</button></p><button>Three</button>";
  assert.deepEqual(await judge(page(":focus { outline: 3px solid }", three), find), []);
  assert.equal(seen.size, 2, [...seen].join("; "));
});

test("a page is weighed by kind", async () => {
  const context = await browser.newContext();
  const opened = await context.newPage();
  const weight = await checks.weighing(opened);
  await opened.route("http://example.test/**", (route) =>
    route.request().url().endsWith(".css")
      ? route.fulfill({ contentType: "text/css", body: "p{color:red}".repeat(100) })
      : route.fulfill({ contentType: "text/html", body: "<link rel=stylesheet href=/a.css><p>x" }),
  );
  await opened.goto("http://example.test/");
  assert.equal(weight.requests >= 2, true, JSON.stringify(weight));
  await context.close();
});
