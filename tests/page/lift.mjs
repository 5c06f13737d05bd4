// The guided first lift by keys, to its end.
import { check, log, seconds, until, wait } from "./browser.mjs";

/** The page that a key opens in a tab of its own, as its text. */
export const shown = async (tab, browser, key) => {
  const before = (await browser.pages()).length;
  // The page behind the new tab has no frames to wait for.
  await tab.page.keyboard.press(key, { delay: 50 });
  let page = null;
  await until(30, async () => {
    const pages = await browser.pages();
    page = pages.length > before ? pages[pages.length - 1] : null;
    return page;
  });
  if (!page) return "";
  // It may still be on its way there.
  const there = () => page.evaluate(() => document.querySelector("h1") !== null);
  await until(30, () => there().catch(() => false));
  const text = await page.evaluate(() => document.body.innerText);
  const scripts = await page.evaluate(() => document.querySelectorAll("script").length);
  check(scripts === 0, "it has no script");
  await page.close();
  await tab.page.bringToFront();
  return text;
};

export const firstLift = async (tab, browser) => {
  const { page, keys, says, drag, picture } = tab;
  await keys("i");
  check(await says(", size up:", 240), "the guided lift opens on size up");
  await drag([500, 400], [550, 410], [600, 420]);
  await keys("4", "6");
  check(await says(", set up:", 180), "6 is the set-up");
  await keys("7");
  check(await says(", lift:", 180), "7 is the lift");
  await page.keyboard.down("q");
  await page.keyboard.down("w");
  // By hand it rises 30 mm in about 15 s of its own time.
  await wait(30);
  await picture("held");
  // All in one frame: the script has to take over what is held.
  await page.keyboard.up("q");
  await page.keyboard.up("w");
  for (const key of ["c", "l", "x"]) await page.keyboard.press(key);
  const since = Date.now();
  check(await says("2 of 2 gaps enough", 600), "the script goes on and frees both limbs");
  log(`which took it ${seconds(since).toFixed(0)} s`);
  await picture("lift");
  await keys("8");
  check(await says("look back", 180), "8 is the look back");
  // Back along the line of time.
  await drag([900, 673], [500, 673], [200, 673]);
  check(await says("0 of 2 gaps enough", 180), "along the line of time it goes back");
  await picture("look-back");
  check((await shown(tab, browser, "F4")).includes("Beam lift"), "F4 opens the debrief");
  check((await shown(tab, browser, "F2")).includes("Beam lift"), "F2 opens the sheet");
};

/** A key that comes while nothing has the focus, before any task of the page can give it back. */
const pressedOutOfFocus = (page, key, code) => page.evaluate((key, code) => {
  document.activeElement?.blur();
  const told = { key, code, bubbles: true, cancelable: true };
  document.body.dispatchEvent(new KeyboardEvent("keydown", told));
  return new Promise(done => setTimeout(() => {
    document.body.dispatchEvent(new KeyboardEvent("keyup", told));
    done();
  }, 100));
}, key, code);

/** Every stage's key, whether the canvas has the focus or something has taken it. */
export const focus = async ({ page, keys, says, shelf, picture }) => {
  for (const taken of [false, true]) {
    for (const [key, stage] of [["5", ", size up:"], ["6", ", set up:"], ["7", ", lift:"], ["8", "look back"]]) {
      if (taken) await page.evaluate(() => document.activeElement?.blur());
      await keys(key);
      check(await says(stage, 180), `${key} is "${stage}"${taken ? ", out of focus, too" : ""}`);
    }
  }
  await pressedOutOfFocus(page, "6", "Digit6");
  check(await says(", set up:", 180), "a key before the focus is back is not lost");
  await keys("h");
  await picture("keys");
  await keys("h", "Escape");
  check(await shelf(), "Escape is the shelf");
};
