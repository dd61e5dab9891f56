// Two pairs of hands for the same journeys: one points and taps, the other has a keyboard only.

import { submit } from "./pages.mjs";

/** Most presses of Tab that may lie between a reader and what they want. */
const MOST_PRESSES = 160;

/** Points and taps. */
export function fingers(page) {
  return {
    write: (field, text) => field.fill(text),
    date: (field, day) => field.fill(day),
    choose: (box) => box.check(),
    unfold: async (summary) => {
      if (!(await isOpen(summary))) await summary.click();
    },
    send: (button) => submit(page, button),
    follow: (link) => leading(page, () => link.click()),
  };
}

/** Tab, arrows, Space and Enter; never a click, never a script that moves the focus. */
export function keys(page) {
  const press = (key) => page.keyboard.press(key);
  const isHere = (wanted) => wanted.evaluate((element) => element === document.activeElement);

  async function reach(wanted, isThere = isHere) {
    for (let presses = 0; presses < MOST_PRESSES; presses += 1) {
      if (await isThere(wanted)) return;
      await press("Tab");
    }
    throw new Error(`no way there by keyboard: ${wanted}`);
  }

  return {
    write: async (field, text) => {
      await reach(field);
      await press("Control+A");
      await page.keyboard.type(text);
    },
    // Day, month and year are stops of their own in a date field; typing goes on from one to the next.
    date: async (field, day) => {
      await reach(field);
      const [year, month, of] = day.split("-");
      // Which comes first is the browser's language's business.
      for (const typed of [of + month + year, month + of + year]) {
        for (let parts = 0; parts < 3; parts += 1) await press("ArrowLeft");
        await page.keyboard.type(typed);
        if ((await field.inputValue()) === day) return;
      }
      throw new Error(`typed ${day}, and the field says ${await field.inputValue()}`);
    },
    choose: async (box) => {
      if ((await box.getAttribute("type")) !== "radio") {
        await reach(box);
        if (!(await box.isChecked())) await press("Space");
        return;
      }
      // Tab stops once for a group of radios; arrows go on from there.
      const sameGroup = (element) =>
        document.activeElement.type === "radio" && document.activeElement.name === element.name;
      await reach(box, (wanted) => wanted.evaluate(sameGroup));
      for (let presses = 0; presses < 12 && !(await box.isChecked()); presses += 1) {
        await press("ArrowDown");
      }
      if (!(await box.isChecked())) await press("Space");
    },
    unfold: async (summary) => {
      if (await isOpen(summary)) return;
      await reach(summary);
      await press("Enter");
    },
    send: async (button) => {
      await reach(page.getByRole("button", { name: button, exact: true }).first());
      await leading(page, () => press("Enter"));
    },
    follow: async (link) => {
      await reach(link);
      await leading(page, () => press("Enter"));
    },
  };
}

const isOpen = (summary) => summary.evaluate((element) => element.parentElement.open);

/** Does what leads to another page, and waits for it. */
async function leading(page, step) {
  // Letters that arrive late would move things under the finger.
  await page.evaluate(() => document.fonts.ready);
  const loaded = page.waitForEvent("load");
  await step();
  await loaded;
}
