// What people do: sign in, ask, read the answer, change the colours; with and without JavaScript.

import assert from "node:assert/strict";
import { createHmac } from "node:crypto";
import { after, before, describe, test } from "node:test";

import { launch, open, signIn } from "./house/browser.mjs";
import * as checks from "./house/checks.mjs";
import { askForMyself, askNonsense, firstSheet, myFirstCard, schemes, submit } from "./house/pages.mjs";
import { startDemo } from "./house/service.mjs";

let browser, service;
const states = {};

before(async () => {
  service = await startDemo();
  browser = await launch();
  for (const role of ["member", "quartermaster"]) {
    states[role] = await signIn(browser, service, role);
  }
});

after(async () => {
  await browser?.close();
  await service?.stop();
});

/** Runs a flow in a window of its own and holds the browser's complaints against it. */
async function flow(how, walk) {
  const { page, context, watch } = await open(browser, { width: 360, base: service.base, ...how });
  try {
    await walk(page, context);
    assert.deepEqual(watch.faults, []);
  } finally {
    await context.close();
  }
}

const isAnswer = async (page) => {
  await page.waitForSelector("#powers-title");
  assert.match(await page.locator("h1").textContent(), /\w/);
  assert.ok((await page.locator("svg[role=img], figure svg").count()) > 0, "a picture of the powers");
  assert.ok((await page.locator("table tbody tr").count()) > 1, "a table of views");
};

describe("in a field without a network", () => {
  test("a kit card that was opened before opens again, turns red, and goes with the sign-out", async () => {
    const state = await signIn(browser, service, "member");
    // Complaints of the browser that the network is gone are not held against the page.
    const { page, context } = await open(browser, { width: 360, base: service.base, state });
    try {
      await myFirstCard(page, service.base);
      const card = page.url();
      await page.waitForSelector("[data-kept]:not([hidden])");
      await context.setOffline(true);
      await page.reload();
      assert.equal(await page.locator("h1").textContent(), "Kit card");
      assert.ok(await page.evaluate(() => document.fonts.check("16px Hyperlegible")), "its own letters");
      await submit(page, "Red");
      assert.equal(page.url(), card);
      assert.equal(await page.locator("html").getAttribute("data-scheme"), "red");
      assert.deepEqual(checks.redLight(await page.screenshot({ fullPage: true })), []);
      await context.setOffline(false);
      await page.goto(card);
      await submit(page, "Sign out");
      await context.setOffline(true);
      await assert.rejects(page.goto(card), "nothing is left on the device");
    } finally {
      await context.close();
    }
  });
});

describe("without JavaScript", () => {
  for (const scheme of schemes) {
    test(`a member signs in, asks and gets an answer in ${scheme}`, () =>
      flow({ javaScript: false, scheme }, async (page) => {
        const { email, password } = service.account("member");
        await page.goto(service.base + "/");
        assert.match(page.url(), /\/sign-in/, "a stranger is asked to sign in");
        await page.getByLabel("E-mail address").fill(email);
        await page.getByLabel("Password", { exact: true }).fill(password);
        await submit(page, "Sign in");
        assert.equal(new URL(page.url()).pathname, "/", "back where the reader wanted to go");
        await submit(page, "Show what suits");
        await isAnswer(page);
      }));
  }

  test("the colours change with one touch, on the same page, and stay changed", () =>
    flow({ javaScript: false, state: states.member }, async (page) => {
      await page.goto(service.base + "/telescopes");
      for (const [button, scheme] of [["Red", "red"], ["Dark", "dark"], ["Light", "light"]]) {
        await submit(page, button);
        assert.equal(new URL(page.url()).pathname, "/telescopes");
        assert.equal(await page.locator("html").getAttribute("data-scheme"), scheme);
        await page.goto(service.base + "/help/reading");
        assert.equal(await page.locator("html").getAttribute("data-scheme"), scheme);
        await page.goto(service.base + "/telescopes");
      }
    }));

  test("a refused question keeps what was typed and says what is wrong beside it", () =>
    flow({ javaScript: false, state: states.quartermaster }, async (page) => {
      await askNonsense(page, service.base);
      const age = page.getByLabel("Age", { exact: true });
      assert.equal(await age.inputValue(), "430");
      assert.equal(await age.getAttribute("aria-invalid"), "true");
      const described = (await age.getAttribute("aria-describedby")) ?? "";
      const words = await Promise.all(
        described.split(/\s+/).map((id) => page.locator(`#${id}`).textContent()),
      );
      assert.match(words.join(" "), /430/, "the sentence beside the field names what was typed");
      const link = page.locator(".summary a").first();
      assert.equal(await link.getAttribute("href"), `#${await age.getAttribute("id")}`);
    }));

  test("a question can be refined from its answer", () =>
    flow({ javaScript: false, state: states.member }, async (page) => {
      await askForMyself(page, service.base);
      const asked = page.locator("#change form");
      await page.locator("details:has(input[name=eyepieces]) summary").last().click();
      await asked.locator("input[name=eyepieces]").fill("2");
      await submit(page, "Show what suits");
      await isAnswer(page);
      assert.equal(await page.locator("#change input[name=eyepieces]").inputValue(), "2");
    }));
});

describe("when nothing is free", () => {
  // The demo club lends the telescope T-007 to somebody from 5 to 7 June.
  test("the answer says what stands in the way and leads to nights that work", () =>
    flow({ javaScript: false, state: states.member }, async (page) => {
      await page.goto(service.base + "/");
      await page.locator("details:has(select[name=telescope]) summary").last().click();
      const lent = page.locator("select[name=telescope] option", { hasText: "T-007" });
      await page.locator("select[name=telescope]").selectOption(await lent.getAttribute("value"));
      await submit(page, "Show what suits");
      assert.ok((await page.locator("#obstacles-title + ul li").count()) > 0, "a reason");
      const way = page.locator(".next-nights button").first();
      await submit(page, (await way.textContent()).trim());
      await isAnswer(page);
      assert.match(await page.locator("main").textContent(), /T-007/);
    }));
});

describe("at the door", () => {
  test("a wrong password keeps the address, never the password, and says so", () =>
    flow({}, async (page) => {
      await page.goto(service.base + "/sign-in?next=%2Ftelescopes");
      await page.getByLabel("E-mail address").fill(service.account("member").email);
      await page.getByLabel("Password", { exact: true }).fill("not the right one at all");
      await submit(page, "Sign in");
      assert.equal(await page.getByLabel("E-mail address").inputValue(), service.account("member").email);
      assert.equal(await page.getByLabel("Password", { exact: true }).inputValue(), "");
      const focused = await page.evaluate(() => document.activeElement?.id);
      assert.equal(focused, "summary", "the reader is taken to what went wrong");
    }));

  test("somebody invited chooses a password, once, and signs in with it", () =>
    flow({ javaScript: false }, async (page) => {
      const link = await service.invitation("flow@example.org", "outreach");
      await page.goto(link);
      await page.getByLabel("New password").fill("far too short");
      assert.equal(await page.getByLabel("New password").getAttribute("minlength"), "15");
      await page.getByLabel("New password").fill("a lantern, a flask and a chair");
      await submit(page, "Set the password");
      if (await page.getByLabel("E-mail address").isVisible()) {
        await page.getByLabel("E-mail address").fill("flow@example.org");
        await page.getByLabel("Password", { exact: true }).fill("a lantern, a flask and a chair");
        await submit(page, "Sign in");
      }
      assert.equal(await page.getByText("Newcomer").first().isVisible(), true);
      const again = await page.goto(link);
      assert.equal(again.status(), 404, "the link works once");
    }));

  test("a page asked for before signing in is where the reader ends up", () =>
    flow({}, async (page) => {
      await page.goto(service.base + "/telescopes");
      const { email, password } = service.account("member");
      await page.getByLabel("E-mail address").fill(email);
      await page.getByLabel("Password", { exact: true }).fill(password);
      await submit(page, "Sign in");
      assert.equal(new URL(page.url()).pathname, "/telescopes");
    }));

  test("no other site can be smuggled in as the page to go on to", () =>
    flow({}, async (page) => {
      const { email, password } = service.account("member");
      await page.goto(service.base + "/sign-in?next=" + encodeURIComponent("//example.org/"));
      await page.getByLabel("E-mail address").fill(email);
      await page.getByLabel("Password", { exact: true }).fill(password);
      await submit(page, "Sign in");
      assert.equal(new URL(page.url()).origin, service.base);
    }));

  test("signing out ends the session on the server too", async () => {
    const state = await signIn(browser, service, "member");
    await flow({ state }, async (page, context) => {
      const kept = (await context.cookies()).filter((cookie) => cookie.name !== "scheme");
      await page.goto(service.base + "/");
      await submit(page, "Sign out");
      await context.addCookies(kept);
      await page.goto(service.base + "/telescopes");
      assert.match(page.url(), /\/sign-in/);
    });
  });
});

describe("by keyboard alone", () => {
  test("a member asks and gets an answer", () =>
    flow({ state: states.member, width: 1280 }, async (page) => {
      await page.goto(service.base + "/");
      for (let presses = 0; presses < 60; presses += 1) {
        await page.keyboard.press("Tab");
        const here = await page.evaluate(() => document.activeElement.textContent.trim());
        if (here === "Show what suits") break;
      }
      const loaded = page.waitForEvent("load");
      await page.keyboard.press("Enter");
      await loaded;
      await isAnswer(page);
    }));

  test("the first stop skips to the content", () =>
    flow({ state: states.member }, async (page) => {
      await page.goto(service.base + "/");
      await page.keyboard.press("Tab");
      await page.keyboard.press("Enter");
      assert.equal(await page.evaluate(() => document.activeElement.id), "main");
    }));
});

describe("on a poor connection", () => {
  // The promise: a first visit of at most 50 kB in 6 requests, its page in the first flight. An
  // answer is never the first page of a visit: its connection is warm, and it may weigh more.
  for (const [name, walk, most] of [
    ["sign-in", (page) => page.goto(service.base + "/sign-in"), 14_000],
    ["ask", (page) => page.goto(service.base + "/"), 14_000],
    ["telescopes", (page) => page.goto(service.base + "/telescopes"), 14_000],
    ["answer", (page) => submit(page, "Show what suits"), 18_000],
  ]) {
    test(`the page ${name} keeps within its weight`, (t) =>
      flow({ state: name === "sign-in" ? undefined : states.member }, async (page) => {
        if (name === "answer") await page.goto(service.base + "/");
        const weight = await checks.weighing(page);
        await walk(page);
        await page.waitForLoadState("networkidle");
        const report = JSON.stringify(weight);
        t.diagnostic(`${name}: ${report}`);
        assert.ok(weight.html > 0 && weight.html <= most, report);
        assert.ok(weight.css > 0 && weight.css <= 10_000, report);
        assert.ok(weight.js <= 15_000, report);
        assert.ok(weight.all <= 50_000, report);
        assert.ok(weight.requests <= 6, report);
      }));
  }
});

describe("on paper and in a reader's own colours", () => {
  test("a printed answer has no navigation and is black on white, even from red light", () =>
    flow({ state: states.member, scheme: "red", width: 800 }, async (page) => {
      await askForMyself(page, service.base);
      await page.emulateMedia({ media: "print" });
      assert.equal(await page.locator("nav").first().isVisible(), false);
      const [ink, paper] = await page.evaluate(() => {
        const of = (element) => getComputedStyle(element);
        return [of(document.querySelector("h1")).color, of(document.body).backgroundColor];
      });
      assert.equal(ink, "rgb(0, 0, 0)");
      assert.match(paper, /rgb\(255, 255, 255\)|rgba\(0, 0, 0, 0\)/);
    }));

  test("a kit card is one page of paper, before its nights, and so is a loan sheet", async () => {
    await flow({ state: states.member, scheme: "red", width: 800 }, async (page) => {
      await myFirstCard(page, service.base);
      assert.ok((await sheetsOfPaper(page)) > 1, "its nights come on pages of their own");
      await page.evaluate(() => document.querySelector(".card-plan").remove());
      assert.equal(await sheetsOfPaper(page), 1);
    });
    await flow({ state: states.quartermaster, scheme: "red", width: 800 }, async (page) => {
      await firstSheet(page, service.base);
      assert.equal(await sheetsOfPaper(page), 1);
    });
  });

  test("red light yields to forced colours", () =>
    flow({ state: states.member, scheme: "red", forcedColors: "active" }, async (page) => {
      await page.goto(service.base + "/");
      const ink = await page.evaluate(() => getComputedStyle(document.querySelector("h1")).color);
      assert.notEqual(ink, "rgb(235, 0, 0)");
    }));
});

/** How many pages of A4 a page prints on. */
async function sheetsOfPaper(page) {
  const paper = await page.pdf({ format: "A4" });
  return paper.toString("latin1").match(/\/Type\s*\/Page\b(?!s)/g).length;
}

/** The code of an app of our own (RFC 6238) for a secret in base 32, some half minutes from now. */
function codeOf(typed, later = 0) {
  const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567";
  const bits = [...typed.replaceAll(" ", "")]
    .map((letter) => letters.indexOf(letter).toString(2).padStart(5, "0"))
    .join("");
  const key = Buffer.from(bits.match(/.{8}/g).map((byte) => parseInt(byte, 2)));
  const step = Buffer.alloc(8);
  step.writeBigUInt64BE(BigInt(Math.floor(Date.now() / 30_000) + later));
  const hash = createHmac("sha1", key).update(step).digest();
  const word = hash.readUInt32BE(hash[19] & 15) & 0x7fffffff;
  return String(word % 1_000_000).padStart(6, "0");
}

describe("the second factor", () => {
  test("is set up, asked for at the next sign-in, and a code on paper stands in for it", () =>
    flow({ javaScript: false }, async (page) => {
      const { email, password } = service.account("outreach");
      const signInAgain = async () => {
        // The icon comes after everything else; leaving earlier would break its loading off.
        await page.waitForLoadState("networkidle");
        await page.goto(service.base + "/sign-in");
        await page.getByLabel("E-mail address").fill(email);
        await page.getByLabel("Password", { exact: true }).fill(password);
        await submit(page, "Sign in");
      };
      await signInAgain();
      await page.waitForLoadState("networkidle");
      await page.goto(service.base + "/account/second-factor");
      await submit(page, "Set it up");
      const secret = await page.locator("code.secret").textContent();
      await page.getByLabel("Six digits").fill(codeOf(secret));
      await submit(page, "Switch it on");
      const paper = await page.locator(".paper-codes code").allTextContents();
      assert.equal(new Set(paper).size, 10);

      await submit(page, "Sign out");
      await signInAgain();
      assert.equal(new URL(page.url()).pathname, "/sign-in/code");
      // The next code: the one before was used to switch it on.
      await page.getByLabel("Six digits").fill(codeOf(secret, 1));
      await submit(page, "Sign in");
      assert.equal(new URL(page.url()).pathname, "/");

      await submit(page, "Sign out");
      await signInAgain();
      await page.locator("summary").click();
      await page.getByLabel("A code on paper").fill(paper[0]);
      await submit(page, "Sign in with it");
      assert.equal(new URL(page.url()).pathname, "/");
    }));
});
