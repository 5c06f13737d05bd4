// Storage that is full, or private and refuses.
import { check, open, until } from "./browser.mjs";

/** Nothing more goes in. */
const full = () => {
  // An empty tab has no storage.
  if (location.protocol !== "file:") return;
  let part = "x".repeat(1 << 20);
  while (part.length > 16) {
    try {
      localStorage.setItem(`filling${localStorage.length}`, part);
    } catch {
      part = part.slice(part.length / 2);
    }
  }
};
/** As in a private window of some browsers. */
const privately = () => Object.defineProperty(window, "localStorage", {
  get() { throw new DOMException("denied", "SecurityError"); },
});

/** It is told before the first edit, and one press loads down what was set up. */
export const refused = async (browser, path, pictures, downloaded) => {
  for (const [name, before] of [["full", full], ["private", privately]]) {
    const tab = await open(browser, path, pictures, before);
    await tab.picture(`${name}-shelf`);
    await tab.keys("Enter");
    await tab.says(", size up:", 240);
    await tab.keys("6");
    await tab.says(", set up:", 180);
    await tab.picture(`${name}-set-up`);
    await tab.keys("k");
    await tab.picture(`${name}-edited`);
    await tab.keys("F9");
    const text = await downloaded("inchwise-everything.json");
    const all = text === null ? null : JSON.parse(text);
    check(all?.unsaved.length === 1, `${name} storage: one press loads down what is set up`);
    // The first one lets go of the chock.
    await tab.keys("Escape", "Escape");
    check(!(await until(3, async () => (await tab.title()) === "Inchwise")), "and it is not left unasked");
    await tab.keys("Escape");
    check(await tab.shelf(), "but when asked twice");
    if (name === "full") await tab.page.evaluate(() => localStorage.clear());
    await tab.page.close();
  }
};
