// The three journeys the house is for, each as a person goes it: at a phone's and a desk's width, with
// JavaScript and without, and once by keyboard alone. Every pass has nights and pieces of its own.

import assert from "node:assert/strict";
import { after, before, describe, test } from "node:test";

import { launch, open, signIn } from "./house/browser.mjs";
import { fingers, keys } from "./house/hands.mjs";
import { startDemo } from "./house/service.mjs";

let browser, service;
const states = {};

before(async () => {
  service = await startDemo();
  browser = await launch();
  for (const role of ["member", "quartermaster", "outreach"]) {
    states[role] = await signIn(browser, service, role);
  }
});

after(async () => {
  await browser?.close();
  await service?.stop();
});

const ways = [
  { says: "on a phone", width: 390, hands: fingers },
  { says: "on a phone without JavaScript", width: 390, javaScript: false, hands: fingers },
  { says: "at a desk", width: 1280, hands: fingers },
  { says: "at a desk without JavaScript", width: 1280, javaScript: false, hands: fingers },
  { says: "by keyboard alone", width: 1280, hands: keys },
];

/** One test for each way; `walk` gets the page, hands to use it with, and the number of the way. */
function journey(name, role, walk) {
  describe(name, () => {
    ways.forEach(({ says, hands, ...how }, number) =>
      test(says, async () => {
        const state = states[role];
        const { page, context, watch } = await open(browser, { base: service.base, state, ...how });
        try {
          await walk(page, hands(page), number);
          assert.deepEqual(watch.faults, []);
        } finally {
          await context.close();
        }
      }),
    );
  });
}

const words = (page, where = "main") => page.locator(where).innerText();
const at = (page) => new URL(page.url()).pathname;

journey("a member reserves", "member", async (page, hands, number) => {
  const [first, last] = [20 + 2 * number, 21 + 2 * number];
  await page.goto(service.base + "/");
  await hands.choose(page.getByRole("radio", { name: "Other nights" }));
  await hands.date(page.getByLabel("First night", { exact: true }), `2026-07-${first}`);
  await hands.date(page.getByLabel("Last night", { exact: true }), `2026-07-${last}`);
  await hands.send("Show what suits");
  assert.ok((await page.locator("table tbody tr").count()) > 1, "an answer with its views");

  await hands.follow(page.getByRole("link", { name: "Reserve this kit" }).first());
  assert.equal(at(page), "/reserve");
  await hands.send("Reserve all of it");
  assert.match(at(page), /^\/mine\/\d+$/);
  const mine = at(page);
  assert.match(await words(page), new RegExp(`${first} .*July`), "the nights that were asked for");

  await page.goto(service.base + "/mine");
  await hands.follow(page.locator(`main a[href="${mine}"]`).first());
  await hands.follow(page.getByRole("link", { name: "Kit card for the field" }));
  assert.equal(at(page), `${mine}/card`);
  assert.equal(await words(page, "h1"), "Kit card");
  assert.match(await words(page), /T-0\d\d/, "the telescope's tag, to look for on the shelf");
});

let telescope = 1;

/** A reservation for tonight that nobody else's pieces meet: a telescope and an eyepiece. */
async function promised() {
  const { token } = service.account("member");
  for (; telescope <= 22; telescope += 1) {
    const answer = await fetch(service.base + "/api/v1/reservations", {
      method: "POST",
      headers: {
        authorization: `Bearer ${token}`,
        "content-type": "application/json",
        "idempotency-key": `journey-${telescope}`,
      },
      body: JSON.stringify({
        items: [telescope, 94 + telescope],
        first_night: "2026-06-05",
        last_night: "2026-06-06",
      }),
    });
    const made = await answer.json();
    if (answer.status === 201 && made.state === "confirmed") {
      telescope += 1;
      return made;
    }
  }
  throw new Error("no telescope of the demo club is free tonight");
}

journey("the quartermaster hands over and takes back", "quartermaster", async (page, hands) => {
  const { id, items } = await promised();
  await page.goto(service.base + "/desk");
  await hands.follow(page.locator(`main a[href="/desk/${id}"]`).first());

  const ticked = page.locator("input[type=checkbox][name^=take_]");
  assert.equal(await ticked.count(), items.length);
  for (const box of await ticked.all()) assert.equal(await box.isChecked(), true, "laid out to go");
  await hands.send("Hand over");
  assert.match(await words(page), /cautions/i);
  assert.equal(await ticked.first().isVisible(), true, "not without the cautions and a signature");

  await hands.choose(page.locator("input[name=acknowledged]"));
  await hands.write(page.locator("input[name=signed_name]"), "Tomasz Wieliczka");
  await hands.send("Hand over");
  await page.getByRole("button", { name: "Take back", exact: true }).waitFor();

  await hands.choose(page.locator(`input[name=piece_${items[1]}][value=dirty]`));
  const note = page.locator(`input[name=note_${items[1]}]`);
  await hands.unfold(page.locator("details", { has: note }).locator("summary"));
  await hands.write(note, "Dew on the eye lens.");
  await hands.send("Take back");
  const after = await words(page);
  assert.match(after, /Finished/);
  assert.match(after, /back, dirty/);
  assert.equal(await page.getByRole("button", { name: "Take back", exact: true }).count(), 0);

  await page.goto(service.base + "/desk");
  assert.equal(await page.locator(`main a[href="/desk/${id}"]`).count(), 0, "off the desk");
});

journey("the outreach lead plans a public night", "outreach", async (page, hands, number) => {
  const name = `Harvest evening ${number + 1}`;
  await page.goto(service.base + "/public-nights");
  await hands.follow(page.locator("main a[href='/public-nights/new']").first());
  await hands.write(page.getByLabel("What it is called"), name);
  await hands.date(page.getByLabel("Day", { exact: true }), `2026-09-${14 + 2 * number}`);
  await hands.write(page.getByLabel("Visitors expected"), "40");
  await hands.send("Save");
  assert.match(at(page), /^\/public-nights\/\d+$/);
  const night = at(page);

  for (const helper of ["Alma", "Bruno"]) {
    await hands.unfold(page.locator("summary", { hasText: "Add a helper" }));
    await hands.write(page.getByLabel("Or a guest’s first name"), helper);
    await hands.send("Add");
    for (const tag of helper === "Alma" ? ["T-001", "T-004"] : ["T-007", "T-008"]) {
      await hands.choose(page.getByLabel(tag));
    }
    await hands.send("Save");
    assert.equal(at(page), night);
  }
  await hands.send("Plan the stations");
  const stations = page.locator(`main a[href^="${night}/stations/"]:not([href$="/new"])`);
  assert.ok((await stations.count()) >= 2, "stations to stand at");

  await hands.follow(page.locator(`main a[href="${night}/run-sheet"]`).first());
  assert.equal(await words(page, "h1"), "Run sheet");
  const sheet = await words(page);
  assert.match(sheet, new RegExp(name));
  assert.match(sheet, /Alma|Bruno/, "who stands where");
  await page.emulateMedia({ media: "print" });
  assert.equal(await page.locator("nav").first().isVisible(), false, "paper has no navigation");
  const ink = await page.evaluate(() => getComputedStyle(document.querySelector("h1")).color);
  assert.equal(ink, "rgb(0, 0, 0)");
});
