// The browser: Debian's own Chromium, kept from talking to anybody but the service.

import { chromium } from "playwright-core";

const executablePath = process.env.CHROMIUM ?? "/usr/bin/chromium";

export function launch() {
  return chromium.launch({
    executablePath,
    args: [
      "--no-sandbox",
      "--disable-quic",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
      // Colours of the picture are those of the page, whatever the screen.
      "--force-color-profile=srgb",
      "--hide-scrollbars",
    ],
  });
}

/** A phone's width in CSS pixels. */
export const NARROW = 360;

export const sizeOf = (width) => ({ width, height: width < 600 ? 800 : 900 });

/** A window of this width whose pages are watched; `watch.faults` collects what went wrong. */
export async function open(browser, { width, base, scheme, javaScript = true, state, ...more }) {
  const context = await browser.newContext({
    viewport: sizeOf(width),
    javaScriptEnabled: javaScript,
    locale: "en-GB",
    timezoneId: "Europe/London",
    reducedMotion: "reduce",
    storageState: state,
    ...more,
  });
  if (scheme) await context.addCookies([{ name: "scheme", value: scheme, url: base }]);
  const page = await context.newPage();
  const watch = watching(page, base);
  return { context, page, watch };
}

/** Notes every request that leaves the service and every complaint of the browser. */
function watching(page, base) {
  const faults = [];
  page.on("request", (request) => {
    const address = request.url();
    if (new URL(address).origin !== new URL(base).origin && !address.startsWith("data:")) {
      faults.push(`a request left the service: ${address}`);
    }
  });
  page.on("requestfailed", (request) => {
    const why = request.failure()?.errorText;
    // The icon comes after everything else: whoever goes on before it is there breaks it off.
    if (why === "net::ERR_ABORTED" && new URL(request.url()).pathname.endsWith("/icon.svg")) return;
    faults.push(`${request.url()} failed: ${why}`);
  });
  page.on("pageerror", (fault) => faults.push(`a script failed: ${fault.message}`));
  page.on("console", (message) => {
    // The browser notes a 404, 409 or 422 page as an error; the page's status is tested by itself.
    const status = /Failed to load resource.*status of (404|409|422|401|403|429)/.test(message.text());
    const own = message.location().url === page.url();
    if (message.type() === "error" && !(status && own)) {
      faults.push(`the browser complained: ${message.text()}`);
    }
  });
  return { faults };
}

/** Signs in through the front door and gives the cookies to keep. */
export async function signIn(browser, service, role) {
  const { context, page } = await open(browser, { width: 1280, base: service.base });
  const { email, password } = service.account(role);
  await page.goto(service.base + "/sign-in");
  await page.getByLabel("E-mail address").fill(email);
  await page.getByLabel("Password", { exact: true }).fill(password);
  await page.getByRole("button", { name: "Sign in", exact: true }).click();
  await page.waitForURL((address) => !address.pathname.startsWith("/sign-in"));
  const state = await context.storageState();
  await context.close();
  return state;
}

/** Opens a page of the table, in a scheme and a width, signed in as it asks for. */
export async function visit(browser, service, states, entry, { scheme, width, ...more }) {
  const state = entry.who ? states[entry.who] : undefined;
  const opened = await open(browser, { width, base: service.base, scheme, state, ...more });
  return { ...opened, status: await arrive(opened.page, service, entry) };
}

/** Goes to a page of the table and gives the status it ended with. */
async function arrive(page, service, entry) {
  const statuses = [];
  const note = (response) => {
    if (response.request().isNavigationRequest()) statuses.push(response.status());
  };
  page.on("response", note);
  try {
    if (entry.open) await entry.open(page, service.base, service);
    else await page.goto(service.base + (entry.path ?? entry.address));
    await page.evaluate(() => document.fonts.ready);
  } finally {
    page.off("response", note);
  }
  return statuses.at(-1);
}

/**
 * Windows that stay open, one for each reader and scheme: a new window starts a new process, which
 * costs more than most looks. Each look begins on an empty page, with the cookies of its reader, with
 * nothing kept from the look before, and with a list of faults of its own.
 */
export class Windows {
  #browser;
  #open = new Map();

  constructor(browser) {
    this.#browser = browser;
  }

  /** The window of that name, narrow as a phone, with nothing held against it yet. */
  async of(name, how) {
    if (!this.#open.has(name)) this.#open.set(name, await open(this.#browser, { width: NARROW, ...how }));
    const opened = this.#open.get(name);
    const { context, page, watch } = opened;
    if (page.url().startsWith(how.base)) {
      // What is still on its way for the page before is broken off, and is none of the next one's. A
      // page that goes there by itself stays in its process, which saves half the time.
      await page.evaluate(() => {
        sessionStorage.clear();
        location.replace("about:blank");
      });
      await page.waitForURL("about:blank");
    }
    await context.clearCookies();
    await context.addCookies([
      ...(how.state?.cookies ?? []),
      ...(how.scheme ? [{ name: "scheme", value: how.scheme, url: how.base }] : []),
    ]);
    await page.setViewportSize(sizeOf(NARROW));
    watch.faults.length = 0;
    return opened;
  }

  /** Like `visit`, in the reader's window. */
  async visit(service, states, entry, scheme) {
    const state = entry.who ? states[entry.who] : undefined;
    const opened = await this.of(`${entry.who} in ${scheme}`, { base: service.base, scheme, state });
    return { ...opened, status: await arrive(opened.page, service, entry) };
  }
}
