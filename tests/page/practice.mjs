// A lift by hand with points of practice, and the same again without them.
import { readFileSync } from "node:fs";
import { check, log, until } from "./browser.mjs";
import { shown } from "./lift.mjs";

const SCENE = readFileSync(new URL("../../scenes/sill-crib.ron", import.meta.url), "utf8");
const POINTS = ["on air only", "rested on timber at the end"];
const NO_POINT = "no listed point was found";
/** How long the valve is open between two captures, in seconds. */
const SHORT = 1.5;

/** Holds a key for so many seconds, or until something holds; whether it does. */
const hold = async ({ page, frames }, key, most_s, holds = async () => false) => {
  await page.keyboard.down(key);
  const held = await until(most_s, holds);
  await page.keyboard.up(key);
  await frames(3);
  return held;
};

export const practice = async (tab, browser) => {
  const { drop, keys, says, shelf, picture, title } = tab;
  const isEnough = async () => (await title()).includes("1 of 1 gaps enough");
  await drop("sill.ron", SCENE);
  check(await says(", size up:", 240), "the dropped lift opens");
  await keys("7");
  check(await says(", lift:", 180), "7 is the lift");
  check(await hold(tab, "q", 120, isEnough), "on air it rises until the gap is enough");
  await keys("8");
  await says("look back", 180);
  await picture("points");
  const first = await shown(tab, browser, "F4");
  for (const point of POINTS) check(first.includes(point), `the debrief tells: ${point}`);
  await keys("r", "7");
  check(await says("0 of 1 gaps enough", 180), "it starts again");
  let enough = false;
  for (let rise = 0; rise < 60 && !enough; rise += 1) {
    enough = await hold(tab, "q", SHORT, isEnough);
    await keys("c");
  }
  check(enough, "it rises again, with timber after each small rise");
  // Some more, as timber gives a little when it takes the load; then down with the valve open.
  for (let rise = 0; rise < 4; rise += 1) {
    await hold(tab, "q", SHORT);
    await keys("c");
  }
  await keys("v", "v");
  await hold(tab, "a", 40);
  await keys("8");
  await says("look back", 180);
  await picture("no-points");
  const second = await shown(tab, browser, "F4");
  if (!second.includes(NO_POINT)) log(second.slice(second.indexOf("Points of practice"), 4000));
  check(second.includes(NO_POINT), "without a point of practice");
  await keys("Escape", "Escape");
  check(await shelf(), "Escape is the shelf");
};
