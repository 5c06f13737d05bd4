// Drives the page in a real browser, as its file on a disk, and holds it against the program
// itself: node tests/page/page.mjs PAGE.html PROGRAM [--browser firefox]
//     [--parts lift,practice,class,task,files,refused,scenes] [--scenes few|all] [--pictures FOLDER]
import { resolve } from "node:path";
import { parseArgs } from "node:util";
import { check, failed, launch, log, open, seen } from "./browser.mjs";
import { teach } from "./class.mjs";
import { exports, handedOver, kept, reopened } from "./files.mjs";
import { firstLift, focus } from "./lift.mjs";
import { practice } from "./practice.mjs";
import { refused } from "./refused.mjs";
import { scenes } from "./scenes.mjs";
import { task } from "./task.mjs";

const { values: asked, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    browser: { type: "string", default: "chrome" },
    parts: { type: "string", default: "lift,practice,class,task,files,refused,scenes" },
    scenes: { type: "string", default: "few" },
    pictures: { type: "string" },
  },
});
const [path, program] = positionals.map(path => resolve(path));
const parts = asked.parts.split(",");

const { browser, downloaded, close } = await launch(asked.browser);
try {
  const tab = await open(browser, path, asked.pictures);
  log(`the first screen is there after ${tab.opened_s.toFixed(1)} s`);
  await tab.picture("shelf");
  if (parts.includes("lift")) {
    await firstLift(tab, browser);
    await focus(tab);
  }
  if (parts.includes("practice")) await practice(tab, browser);
  if (parts.includes("class")) await teach(tab);
  if (parts.includes("task")) await task(tab);
  if (parts.includes("files")) {
    await kept(tab);
    await reopened(tab);
    await exports(tab, downloaded);
    await handedOver(tab);
  }
  if (parts.includes("scenes")) await scenes(tab, program, asked.scenes);
  await tab.page.close();
  if (parts.includes("refused")) await refused(browser, path, asked.pictures, downloaded);
  check(seen.left.length === 0, `no request leaves the page ${seen.left.slice(0, 3)}`);
  check(seen.errors.length === 0, `no error in the page ${seen.errors.slice(0, 2)}`);
} finally {
  await close();
}
if (failed() > 0) {
  console.error(`${failed()} checks failed`);
  process.exit(1);
}
