// What a user keeps in the browser, carries away and brings in.
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { check, until, wait } from "./browser.mjs";

/** "Open draft" on the card of the first set-up that is not saved yet. */
const GO_ON = [240, 216];
const SCENE = '(name: "Handed over", like: "beam-lift", teaches: "A file from outside.")\n';

const named = (files, start) => Object.keys(files).filter(path => path.startsWith(start));

/** An edit is kept at once, asked about before the page is left, and saved under a name. */
export const kept = async ({ page, keys, frames, says, files, reload, dialogs, picture }) => {
  await keys("Enter");
  check(await says(", size up:", 240), "Enter opens the chosen scene");
  await keys("6");
  await says(", set up:", 180);
  await keys("k");
  check(
    await until(30, async () => named(await files(), "/unsaved/").length === 1),
    "a chock that is brought is kept at once",
  );
  await picture("brought");
  await reload();
  check(dialogs.includes("beforeunload"), "the browser asks before unsaved work is left");
  await picture("offered");
  await page.mouse.click(...GO_ON);
  check(await says(", set up:", 240), "the last finished edit is offered again, and goes on");
  await keys("6");
  await page.keyboard.down("Control");
  await page.keyboard.press("s", { delay: 50 });
  await page.keyboard.up("Control");
  await frames(3);
  await page.keyboard.type("Mine", { delay: 100 });
  await picture("named");
  await keys("Enter");
  check(
    await until(30, async () => named(await files(), "/scenes/").length === 1),
    "it is saved under a name",
  );
  check(named(await files(), "/unsaved/").length === 0, "and is unsaved no more");
};

/** What was saved is on the shelf when the page is opened again. */
export const reopened = async ({ keys, says, files, reload, dialogs, picture }) => {
  await reload();
  check(!dialogs.includes("beforeunload"), "saved work is left without a question");
  const [path] = named(await files(), "/scenes/");
  const [, name] = (await files())[path].match(/name: "([^"]*)"/);
  await keys("End");
  await picture("reopened");
  await keys("Enter");
  check(await says(name, 240), `"${name}" opens again from the shelf's end`);
  await keys("Escape");
};

/** Everything of the user's goes out as one file, and comes in again. */
export const exports = async ({ page, keys, files, reload, drop }, downloaded) => {
  const before = await files();
  await keys("F9");
  const text = await downloaded("inchwise-everything.json");
  check(text !== null, "F9 loads everything down as one file");
  if (text === null) return;
  await page.evaluate(() => localStorage.clear());
  await reload();
  await drop("inchwise-everything.json", text);
  const texts = files => named(files, "/scenes/").map(path => files[path].replace(/^\d+\n/, ""));
  check(
    await until(30, async () => texts(await files()).join() === texts(before).join()),
    "and dropped onto an empty page it brings back the scene",
  );
};

/** A scene file is taken from the browser's chooser and from a drop; a strange one is told. */
export const handedOver = async ({ page, keys, says, shelf, drop, picture, title }) => {
  const folder = mkdtempSync(join(tmpdir(), "inchwise-page-"));
  const file = join(folder, "handed.ron");
  writeFileSync(file, SCENE);
  const [chooser] = await Promise.all([page.waitForFileChooser({ timeout: 60_000 }), keys("o")]);
  await chooser.accept([file]);
  check(await says("Handed over", 240), "a file from the chooser opens");
  await keys("Escape");
  await shelf();
  await drop("dropped.ron", SCENE);
  check(await says("Handed over", 240), "a dropped file opens");
  await keys("Escape");
  await shelf();
  await drop("strange.ron", "(name: \"<script>alert(1)</script>\", colour: 3)");
  await wait(3);
  check((await title()) === "Inchwise", "a strange one opens nothing");
  await picture("strange");
  rmSync(folder, { recursive: true });
};
