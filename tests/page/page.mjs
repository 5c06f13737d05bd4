// Drives the page in a real browser, as its file on a disk, and holds it against the program
// itself: node tests/page/page.mjs PAGE.html PROGRAM [--browser firefox] [--scenes few|all]
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { parseArgs } from "node:util";
import puppeteer from "puppeteer-core";

const { values: asked, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    browser: { type: "string", default: "chrome" },
    scenes: { type: "string", default: "few" },
    pictures: { type: "string" },
  },
});
const [pagePath, program] = positionals.map(path => resolve(path));
const EXECUTABLES = { chrome: "/usr/bin/chromium", firefox: "/usr/bin/firefox-esr" };
// One that is lifted and two that fail, each in its own way.
const FEW = ["deck-lid-wedged", "deck-lid-tall", "verge-bare"];

const begun = Date.now();
const seconds = since => (Date.now() - since) / 1000;
let failures = 0;
const log = (...words) => console.log(seconds(begun).toFixed(1).padStart(6), ...words);
const check = (holds, what) => {
  log(holds ? "ok  " : "FAIL", what);
  if (!holds) failures += 1;
};
const wait = s => new Promise(done => setTimeout(done, s * 1000));

const browser = await puppeteer.launch({
  browser: asked.browser,
  executablePath: process.env.BROWSER_PATH ?? EXECUTABLES[asked.browser],
  headless: true,
  protocolTimeout: 900_000,
  args: asked.browser === "chrome" ? [
    "--no-sandbox", "--use-angle=swiftshader", "--enable-unsafe-swiftshader",
    "--ignore-gpu-blocklist", "--disable-background-networking",
    "--disable-component-update", "--no-first-run",
  ] : [],
});
try {
  const page = await browser.newPage();
  await page.setViewport({ width: 1280, height: 720 });
  const left = [];
  page.on("request", request => {
    if (!/^(file|data|blob|about):/.test(request.url())) left.push(request.url());
  });
  const errors = [];
  page.on("pageerror", error => errors.push(String(error)));

  const title = () => page.$eval("#inchwise", canvas => canvas.getAttribute("alt") ?? "");
  // Waits until the title of the window says this.
  const says = async (words, most_s) => {
    const since = Date.now();
    while (seconds(since) < most_s) {
      if ((await title()).includes(words)) return true;
      await wait(0.2);
    }
    log(`waited ${most_s} s for "${words}"; the title is "${await title()}"`);
    return false;
  };
  const picture = async name => {
    if (asked.pictures) await page.screenshot({ path: join(asked.pictures, `${name}.png`) });
  };

  const opened = Date.now();
  await page.goto(pathToFileURL(pagePath).href, { waitUntil: "load", timeout: 120_000 });
  await page.waitForSelector("#notice[hidden]", { timeout: 120_000 });
  check(await says("Inchwise", 60), `the first screen is there after ${seconds(opened).toFixed(1)} s`);
  await picture("shelf");

  // The guided first lift, by keys.
  await page.keyboard.press("i");
  check(await says("size up", 120), "the guided lift opens on size up");
  await page.mouse.move(500, 300);
  await page.mouse.down();
  await page.mouse.move(600, 320, { steps: 5 });
  await page.mouse.up();
  await page.keyboard.press("4");
  await wait(1);
  await page.keyboard.press("6");
  check(await says("set up", 30), "6 is the set-up");
  await page.keyboard.press("7");
  check(await says(", lift:", 30), "7 is the lift");
  await page.keyboard.down("q");
  await page.keyboard.down("w");
  await wait(20);
  await page.keyboard.up("q");
  await page.keyboard.up("w");
  await page.keyboard.press("c");
  await page.keyboard.press("l");
  await page.keyboard.press("x");
  check(await says("2 of 2 free", 240), "the script frees both limbs");
  await picture("lift");
  await page.keyboard.press("8");
  check(await says("look back", 30), "8 is the look back");
  await wait(2);
  await picture("look-back");
  await page.keyboard.press("Escape");

  // Every scene ends as in the program itself.
  const scenes = asked.scenes === "all" ? await page.evaluate(() => inchwise.scenes()) : FEW;
  const folder = mkdtempSync(join(tmpdir(), "inchwise-page-"));
  let same = 0;
  let native_s = 0;
  let page_s = 0;
  for (const scene of scenes) {
    const file = join(folder, "debrief.json");
    let since = Date.now();
    try {
      execFileSync(program, ["run", scene, "--quiet", "--json", file], { stdio: "ignore" });
    } catch (ended) {
      // A lift that fails ends with a code of its own; what counts is the debrief.
      if (ended.status === null) throw ended;
    }
    native_s += seconds(since);
    const native = JSON.parse(readFileSync(file, "utf8"));
    since = Date.now();
    const here = JSON.parse(await page.evaluate(name => inchwise.debrief(name), scene));
    page_s += seconds(since);
    check(
      here.outcome === native.outcome && here.cause === native.cause,
      `${scene}: ${here.outcome}, ${here.cause ?? "nothing went wrong"}`,
    );
    if (here.state_hash === native.state_hash) same += 1;
  }
  rmSync(folder, { recursive: true });
  log(`the core plays at ${(native_s / page_s).toFixed(2)} of the program's speed;`,
    `${same} of ${scenes.length} state hashes are the same`);
  check(left.length === 0, `no request leaves the page ${left.slice(0, 3)}`);
  check(errors.length === 0, `no error in the page ${errors.slice(0, 2)}`);
} finally {
  await browser.close();
}
if (failures > 0) {
  console.error(`${failures} checks failed`);
  process.exit(1);
}
