// Every shipped scene ends in the page as in the program itself.
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { check, log, seconds } from "./browser.mjs";

// One that is lifted and two that fail, each in its own way.
const FEW = ["deck-lid-wedged", "deck-lid-tall", "verge-bare"];

/** The debrief of a scene that the program plays. */
const native = (program, scene, file) => {
  try {
    execFileSync(program, ["run", scene, "--quiet", "--json", file], { stdio: "ignore" });
  } catch (ended) {
    // A lift that fails ends with a code of its own; what counts is the debrief.
    if (ended.status === null) throw ended;
  }
  return JSON.parse(readFileSync(file, "utf8"));
};

/** The largest difference between two debriefs' measures, as a share, and which it is. */
const apart = (a, b, at = "") => {
  if (typeof a === "number" && typeof b === "number") {
    return { share: Math.abs(a - b) / Math.max(Math.abs(a), Math.abs(b), 1e-3), at };
  }
  if (a === null || typeof a !== "object" || typeof b !== "object") return { share: 0, at };
  return Object.keys(a).map(key => apart(a[key], b?.[key], `${at}.${key}`))
    .reduce((most, next) => next.share > most.share ? next : most, { share: 0, at });
};

export const scenes = async ({ page }, program, which) => {
  const names = which === "all" ? await page.evaluate(() => inchwise.scenes()) : FEW;
  const folder = mkdtempSync(join(tmpdir(), "inchwise-page-"));
  let same = 0;
  let native_s = 0;
  let page_s = 0;
  for (const name of names) {
    let since = Date.now();
    const there = native(program, name, join(folder, "debrief.json"));
    native_s += seconds(since);
    since = Date.now();
    const here = JSON.parse(await page.evaluate(name => inchwise.debrief(name), name));
    page_s += seconds(since);
    check(
      here.outcome === there.outcome && here.cause === there.cause,
      `${name}: ${here.outcome}, ${here.cause ?? "nothing went wrong"}`,
    );
    if (here.state_hash === there.state_hash) {
      same += 1;
    } else {
      const { share, at } = apart(there.peaks ?? there, here.peaks ?? here);
      log(`     another state hash; at most ${(100 * share).toPrecision(2)} % apart, at ${at}`);
    }
  }
  rmSync(folder, { recursive: true });
  log(`the core plays at ${(native_s / page_s).toFixed(2)} of the program's speed;`,
    `${same} of ${names.length} state hashes are the same`);
};
