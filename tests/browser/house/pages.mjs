// Every page of the service, one line each: a new page joins all checks and the gallery here.
//
// `address` is the line of the table in src/app.rs that answers, `who` signs in first (null:
// nobody). `path` is opened, or else `open` walks there and ends on the page; without either the
// address itself is opened. Names become the gallery's file names.

export const pages = [
  { name: "sign-in", address: "/sign-in", who: null },
  { name: "invitation", address: "/setup/{token}", who: null, open: followAnInvitation },
  { name: "used-invitation", address: "/setup/{token}", who: null, path: "/setup/none", status: 404 },
  { name: "problem", address: "/problems/{kind}", who: null, path: "/problems/out-of-range" },
  { name: "not-found", address: null, who: null, path: "/no-such-page", status: 404 },
  { name: "ask", address: "/", who: "member" },
  { name: "ask-staff", address: "/", who: "quartermaster" },
  { name: "answer", address: "/kits", who: "member", open: askForMyself },
  { name: "answer-anyone", address: "/kits", who: "outreach", open: askForAnyone },
  { name: "ask-refused", address: "/kits", who: "quartermaster", open: askNonsense, status: 422 },
  { name: "telescopes", address: "/telescopes", who: "member" },
  { name: "telescope", address: "/telescopes/{id}", who: "member", open: firstTelescope },
  { name: "shelf", address: "/shelf", who: "member" },
  { name: "shelf-narrowed", address: "/shelf", who: "quartermaster", path: "/shelf?q=25&kind=eyepiece&condition=in_service&order=size" },
  { name: "piece", address: "/shelf/{tag}", who: "member", path: "/shelf/T-001" },
  { name: "piece-keeper", address: "/shelf/{tag}", who: "quartermaster", path: "/shelf/E-001" },
  { name: "piece-life", address: "/shelf/{tag}/life", who: "quartermaster", path: "/shelf/E-001/life" },
  { name: "piece-new", address: "/stock/new/{kind}", who: "quartermaster", path: "/stock/new/eyepiece" },
  { name: "stock", address: "/stock", who: "quartermaster" },
  { name: "count", address: "/stock/count", who: "quartermaster" },
  { name: "count-record", address: "/stock/count/{id}", who: "quartermaster", path: "/stock/count/1" },
  { name: "labels", address: "/stock/labels", who: "quartermaster" },
  { name: "stock-use", address: "/stock/use", who: "quartermaster" },
  { name: "stock-values", address: "/stock/values", who: "quartermaster" },
  { name: "shelf-table", address: "/stock/import", who: "quartermaster" },
  { name: "piece-papers", address: "/shelf/{tag}/papers", who: "quartermaster", path: "/shelf/T-001/papers" },
  { name: "piece-edit", address: "/shelf/{tag}/edit", who: "quartermaster", path: "/shelf/T-001/edit" },
  { name: "observer", address: "/account/observer", who: "member" },
  { name: "own-case", address: "/account/gear", who: "member" },
  { name: "own-eyepiece", address: "/account/gear/{kind}/new", who: "member", path: "/account/gear/eyepieces/new" },
  { name: "own-telescope", address: "/account/gear/{kind}/new", who: "member", path: "/account/gear/telescopes/new" },
  { name: "own-piece", address: "/account/gear/{kind}/{id}", who: "member", open: packAnEyepiece },
  { name: "my-data", address: "/account/data", who: "member" },
  { name: "erase", address: "/account/data/erase", who: "member" },
  { name: "care", address: "/people/{id}/observer", who: "quartermaster", path: "/people/1/observer" },
  { name: "tokens", address: "/account/tokens", who: "member" },
  { name: "token-made", address: "/account/tokens", who: "member", open: makeAToken },
  { name: "reserve", address: "/reserve", who: "member", open: lookOverAKit },
  { name: "calendar", address: "/reserve/calendar", who: "member", path: "/reserve/calendar?items=1" },
  { name: "calendar-chosen", address: "/reserve/calendar", who: "member", open: tapAFirstNight },
  { name: "telescope-nights", address: "/telescopes/{id}/nights", who: "member", path: "/telescopes/1/nights" },
  { name: "mine", address: "/mine", who: "member" },
  { name: "feeds", address: "/mine/calendar", who: "quartermaster" },
  { name: "feeds-fresh", address: "/mine/calendar", who: "member", open: makeACalendarAddress },
  { name: "kit-card", address: "/mine/{id}/card", who: "member", open: myFirstCard },
  { name: "mine-one", address: "/mine/{id}", who: "member", open: myFirstReservation },
  { name: "sign", address: "/mine/{id}/sign", who: "member", open: signForMyFirst },
  { name: "plan", address: "/mine/{id}/plan", who: "member", open: planMyFirstReservation },
  { name: "plan-kit", address: "/plan", who: "outreach", open: planAKitForAnyone },
  { name: "desk", address: "/desk", who: "quartermaster" },
  { name: "desk-waiting", address: "/desk/waiting", who: "quartermaster" },
  { name: "rules", address: "/desk/rules", who: "quartermaster" },
  { name: "rules-no-such-piece", address: "/desk/rules/piece", who: "quartermaster", path: "/desk/rules/piece?tag=T-999", status: 404 },
  { name: "piece-rule", address: "/desk/rules/pieces/{id}", who: "quartermaster", path: "/desk/rules/pieces/1" },
  { name: "desk-one", address: "/desk/{id}", who: "quartermaster", open: firstAtTheDesk },
  { name: "desk-sheet", address: "/desk/{id}/sheet", who: "quartermaster", open: firstSheet },
  { name: "sites", address: "/sites", who: "quartermaster" },
  { name: "site-new", address: "/sites/new", who: "admin" },
  { name: "site", address: "/sites/{id}", who: "quartermaster", path: "/sites/1" },
  { name: "public-nights", address: "/public-nights", who: "outreach" },
  { name: "public-nights-member", address: "/public-nights", who: "member" },
  { name: "public-night-new", address: "/public-nights/new", who: "outreach" },
  { name: "public-night-moon", address: "/public-nights/{id}", who: "outreach", path: "/public-nights/1" },
  { name: "public-night-dark", address: "/public-nights/{id}", who: "member", path: "/public-nights/2" },
  { name: "public-night-sun", address: "/public-nights/{id}", who: "outreach", path: "/public-nights/3" },
  { name: "public-night-edit", address: "/public-nights/{id}/edit", who: "outreach", path: "/public-nights/1/edit" },
  { name: "public-night-helper", address: "/public-nights/{id}/helpers/{number}", who: "outreach", path: "/public-nights/1/helpers/1" },
  { name: "public-night-station", address: "/public-nights/{id}/stations/{number}", who: "outreach", path: "/public-nights/1/stations/1" },
  { name: "public-night-run-sheet", address: "/public-nights/{id}/run-sheet", who: "outreach", path: "/public-nights/1/run-sheet" },
  { name: "public-night-cards", address: "/public-nights/{id}/cards", who: "outreach", path: "/public-nights/1/cards" },
  { name: "public-night-packing", address: "/public-nights/{id}/packing", who: "outreach", path: "/public-nights/1/packing" },
  { name: "public-night-inspection", address: "/public-nights/{id}/inspection", who: "outreach", path: "/public-nights/3/inspection" },
  { name: "public-night-afterwards", address: "/public-nights/{id}/afterwards", who: "outreach", path: "/public-nights/1/afterwards" },
  { name: "public-night-priority", address: "/public-nights/priority", who: "quartermaster" },
  { name: "public-night-closed", address: "/visit/{slug}", who: null, path: "/visit/none", status: 404 },
  { name: "buying-mine", address: "/buying/mine", who: "member" },
  { name: "buying", address: "/buying", who: "quartermaster" },
  { name: "candidates", address: "/buying/candidates", who: "admin" },
  { name: "buying-report", address: "/buying/reports/{id}", who: "quartermaster", path: "/buying/reports/1", status: 404 },
  { name: "cautions", address: "/help/cautions", who: "member" },
  { name: "help", address: "/help", who: "member" },
  { name: "help-borrowing", address: "/help/borrowing", who: "member" },
  { name: "help-desk", address: "/help/desk", who: "quartermaster" },
  { name: "help-public-nights", address: "/help/public-nights", who: "outreach" },
  { name: "help-keeping", address: "/help/keeping", who: "admin" },
  { name: "help-trouble", address: "/help/trouble", who: "admin" },
  { name: "reading", address: "/help/reading", who: "member" },
  { name: "account", address: "/account", who: "member" },
  { name: "second-factor", address: "/account/second-factor", who: "member" },
  { name: "letters", address: "/account/letters", who: "quartermaster" },
  { name: "post", address: "/post", who: "quartermaster" },
  { name: "in-by-letter", address: "/sign-in/help", who: null },
  { name: "used-link", address: "/sign-in/link/{token}", who: null, path: "/sign-in/link/none", status: 404 },
  // Without half a sign-in it leads to the door; the page itself is among the samples.
  { name: "code-too-late", address: "/sign-in/code", who: null },
  { name: "people", address: "/people", who: "admin" },
  { name: "people-quartermaster", address: "/people", who: "quartermaster" },
  { name: "person", address: "/people/{id}", who: "admin", open: firstPerson },
  { name: "person-member", address: "/people/members/{id}", who: "admin", open: firstWithoutAccount },
  { name: "invite", address: "/people/invite", who: "admin" },
  { name: "invited-link", address: "/people/members/{id}/invite", who: "quartermaster", open: inviteFirst },
  { name: "invitations", address: "/people/invite/letters", who: "admin" },
  { name: "club-list", address: "/people/import", who: "admin" },
  { name: "joining", address: "/people/joining", who: "admin" },
  { name: "join-shut", address: "/join", who: null, path: "/join", status: 404 },
  { name: "status", address: "/status", who: "admin" },
  { name: "audit", address: "/audit", who: "admin" },
];

/** Addresses that answer a GET with something else than a page. */
export const noPages = [
  "/healthz", "/readyz", "/static/{*name}", "/account/data/{file}", "/calendar/{file}", "/visit/{slug}/calendar.ics",
  "/photos/{id}/{size}", "/mine/{id}/card.pdf",
  "/stock/labels.pdf", "/stock/use.csv", "/stock/use.pdf", "/stock/values.csv", "/stock/values.pdf", "/stock/tables/{file}",
  "/buying/candidates.csv", "/buying/reports/{id}/paper.pdf", "/buying/reports/{id}/table.csv",
];

export const schemes = ["light", "dark", "red"];
export const widths = [360, 1280];

/** A member asks for themself, on the first nights that are offered. */
export async function askForMyself(page, base) {
  await page.goto(base + "/");
  await submit(page, "Show what suits");
}

/** On from the answer to the pieces that are about to be reserved. */
export async function lookOverAKit(page, base) {
  await askForMyself(page, base);
  await follow(page, page.getByRole("link", { name: "Reserve this kit" }).first());
}

/** A free night is tapped; the page then asks for the last one. */
export async function tapAFirstNight(page, base) {
  await page.goto(base + "/reserve/calendar?items=1");
  await follow(page, page.locator("main a.night").first());
}

export async function makeACalendarAddress(page, base) {
  await page.goto(base + "/mine/calendar");
  const loaded = page.waitForEvent("load");
  await page.locator("main button[name=kind]").first().click();
  await loaded;
}

export async function myFirstCard(page, base) {
  await myFirstReservation(page, base);
  await follow(page, page.getByRole("link", { name: "Kit card for the field" }));
}

export async function myFirstReservation(page, base) {
  await page.goto(base + "/mine");
  await follow(page, page.locator("main .loan-link").first());
}

export async function signForMyFirst(page, base) {
  await page.goto(base + "/mine");
  await follow(page, page.locator("section:has(#coming-title) .loan-link").first());
  await follow(page, page.getByRole("link", { name: "Sign for it now" }));
}

export async function planMyFirstReservation(page, base) {
  await myFirstReservation(page, base);
  await follow(page, page.getByRole("link", { name: "What to look at on these nights" }));
}

export async function planAKitForAnyone(page, base) {
  await askForAnyone(page, base);
  await follow(page, page.getByRole("link", { name: "What to look at with it" }).first());
}

export async function firstAtTheDesk(page, base) {
  await page.goto(base + "/desk");
  await follow(page, page.locator("main .loan-link").first());
}

export async function firstSheet(page, base) {
  await firstAtTheDesk(page, base);
  await follow(page, page.getByRole("link", { name: "Loan sheet to print" }));
}

/** Goes where a link leads. */
async function follow(page, link) {
  await page.goto(new URL(await link.getAttribute("href"), page.url()).href);
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

/** Somebody new opens the link that the club sent them. */
export async function followAnInvitation(page, base, service) {
  newcomers += 1;
  await page.goto(await service.invitation(`newcomer-${newcomers}@example.org`, "outreach"));
}

let newcomers = 0;

export async function firstTelescope(page, base) {
  await page.goto(base + "/telescopes");
  await follow(page, page.locator("main a[href^='/telescopes/']").first());
}

/** An eyepiece of one's own, put in and opened again. */
export async function packAnEyepiece(page, base) {
  await page.goto(base + "/account/gear/eyepieces/new");
  await page.getByLabel("What you call it", { exact: true }).fill("My first 25 mm");
  await page.getByLabel("Focal length, mm", { exact: true }).fill("25");
  await submit(page, "Save");
  await page.goto(base + "/account/gear");
  await follow(page, page.locator("main a[href^='/account/gear/eyepieces/']:not([href$='new'])").first());
}

export async function makeAToken(page, base) {
  await page.goto(base + "/account/tokens");
  await page.getByLabel("Name", { exact: true }).fill("weather station");
  await submit(page, "Make the token");
}

export async function firstPerson(page, base) {
  await page.goto(base + "/people?q=example.org&show=staff");
  await follow(page, page.locator("main a.row-link").first());
}

export async function firstWithoutAccount(page, base) {
  await page.goto(base + "/people?show=without&q=%40");
  await follow(page, page.locator("main a[href^='/people/members/']").first());
}

export async function inviteFirst(page, base) {
  await firstWithoutAccount(page, base);
  await submit(page, "Make an invitation link");
}

/** Presses a button that sends a form, and waits for the page that answers. */
export async function submit(page, button) {
  // Letters that arrive late would move the button under the finger.
  await page.evaluate(() => document.fonts.ready);
  const loaded = page.waitForEvent("load");
  await page.getByRole("button", { name: button, exact: true }).click();
  await loaded;
}
