// Every page of the service, one line each: a new page joins all checks and the gallery here.
//
// `who` signs in first (null: nobody); `path` is opened, or `open` walks there and ends on the
// page. Names become the gallery's file names.

export const pages = [
  { name: "sign-in", who: null, path: "/sign-in" },
  { name: "not-found", who: null, path: "/no-such-page", status: 404 },
  { name: "ask", who: "member", path: "/" },
  { name: "ask-staff", who: "quartermaster", path: "/" },
  { name: "answer", who: "member", open: askForMyself },
  { name: "answer-anyone", who: "outreach", open: askForAnyone },
  { name: "ask-refused", who: "quartermaster", open: askNonsense, status: 422 },
  { name: "telescopes", who: "member", path: "/telescopes" },
  { name: "telescope", who: "member", open: firstTelescope },
  { name: "cautions", who: "member", path: "/help/cautions" },
  { name: "reading", who: "member", path: "/help/reading" },
];

export const schemes = ["light", "dark", "red"];
export const widths = [360, 1280];

/** A member asks for themself, on the first nights that are offered. */
export async function askForMyself(page, base) {
  await page.goto(base + "/");
  await submit(page, "Show what suits");
}

export async function askForAnyone(page, base) {
  await page.goto(base + "/");
  await page.getByRole("radio", { name: "Anyone, first time at an eyepiece" }).check();
  await submit(page, "Show what suits");
}

/** An age that nobody has: the form comes back with what was typed and what is wrong with it. */
export async function askNonsense(page, base) {
  await page.goto(base + "/");
  await page.getByRole("radio", { name: "Someone I describe" }).check();
  await page.getByLabel("Age", { exact: true }).fill("430");
  await submit(page, "Show what suits");
}

export async function firstTelescope(page, base) {
  await page.goto(base + "/telescopes");
  await Promise.all([
    page.waitForURL(/\/telescopes\/\d+/),
    page.locator("main a[href^='/telescopes/']").first().click(),
  ]);
}

/** Presses a button that sends a form, and waits for the page that answers. */
export async function submit(page, button) {
  const loaded = page.waitForEvent("load");
  await page.getByRole("button", { name: button, exact: true }).click();
  await loaded;
}
