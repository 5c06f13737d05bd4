// A class by the keys of a presenter's remote: asked, counted, revealed, one back, left.
import { check, until, wait } from "./browser.mjs";

/** The place of the class on the list, from the top. */
const STABILISE_FIRST = "3";

export const teach = async ({ keys, says, shelf, picture, title }) => {
  await keys("c");
  await picture("classes");
  await keys(STABILISE_FIRST);
  check(await says("Class, step 1 of 10 -", 240), "a digit opens a class at its first step");
  const named = async () => /chock|slide|nose|field/i.test(await title());
  check(!(await named()), "the title gives nothing away");
  await keys("PageDown");
  check(await says("Class, step 2 of 10 -", 60), "Page Down asks the question");
  await keys("2", "2", "2", "1");
  await picture("asked");
  await keys("PageDown");
  check(await says("Class, step 3 of 10 -", 60), "Page Down reveals");
  await wait(30);
  await picture("revealed");
  await keys("PageUp");
  check(await says("Class, step 2 of 10 -", 60), "Page Up goes one back");
  await keys("PageDown");
  // Nothing goes on before the lift has come to its end.
  const compared = await until(600, async () => {
    if ((await title()).includes("step 4 of 10")) return true;
    await keys("PageDown");
    return false;
  });
  check(compared, "its twin is compared");
  await picture("compared");
  await keys("Escape", "Escape");
  check(await shelf(), "Escape asks, and then is the shelf");
};
