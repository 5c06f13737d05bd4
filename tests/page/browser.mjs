// A real browser with the page in it, and the checks that were made of it.
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import puppeteer from "puppeteer-core";

const EXECUTABLES = { chrome: "/usr/bin/chromium", firefox: "/usr/bin/firefox-esr" };
// Drawn by the processor, in a window that asks nobody outside.
const ARGUMENTS = {
  chrome: [
    "--no-sandbox", "--use-angle=swiftshader", "--enable-unsafe-swiftshader",
    "--ignore-gpu-blocklist", "--disable-background-networking",
    "--disable-component-update", "--no-first-run",
  ],
  firefox: [],
};
export const SIZE = { width: 1280, height: 720 };

const begun = Date.now();
export const seconds = since => (Date.now() - since) / 1000;
export const wait = s => new Promise(done => setTimeout(done, s * 1000));
export const log = (...words) => console.log(seconds(begun).toFixed(1).padStart(7), ...words);

let failures = 0;
export const failed = () => failures;
export const check = (holds, what) => {
  log(holds ? "ok  " : "FAIL", what);
  if (!holds) failures += 1;
};

/** Asks until something holds; false where it does not within so many seconds. */
export const until = async (most_s, holds) => {
  const since = Date.now();
  while (seconds(since) < most_s) {
    if (await holds()) return true;
    await wait(0.2);
  }
  return false;
};

/** A browser with a folder of its own for what is loaded down. */
export const launch = async kind => {
  const downloads = mkdtempSync(join(tmpdir(), "inchwise-downloads-"));
  const browser = await puppeteer.launch({
    browser: kind,
    executablePath: process.env.BROWSER_PATH ?? EXECUTABLES[kind],
    headless: true,
    protocolTimeout: 900_000,
    args: ARGUMENTS[kind],
    downloadBehavior: { policy: "allow", downloadPath: downloads },
    // It draws WebGL by the processor where there is a display, which may be Xvfb's.
    extraPrefsFirefox: {
      "webgl.force-enabled": true,
      "browser.download.folderList": 2,
      "browser.download.dir": downloads,
      "browser.download.useDownloadDir": true,
    },
  });
  /** What was loaded down under a name, once it is whole. */
  const downloaded = async name => {
    let text = null;
    await until(60, () => {
      const found = readdirSync(downloads).find(file => file === name);
      if (found) text = readFileSync(join(downloads, found), "utf8");
      return text;
    });
    rmSync(join(downloads, name), { force: true });
    return text;
  };
  const close = async () => {
    await browser.close();
    rmSync(downloads, { recursive: true, force: true });
  };
  return { browser, downloaded, close };
};

/** Everything that left a page, and every error in one. */
export const seen = { left: [], errors: [] };

/** The page in a tab of its own, with what a user sees and does there. */
export const open = async (browser, path, pictures, before) => {
  const page = await browser.newPage();
  await page.setViewport(SIZE);
  page.on("request", request => {
    if (!/^(file|data|blob|about):/.test(request.url())) seen.left.push(request.url());
  });
  page.on("pageerror", error => seen.errors.push(String(error)));
  const dialogs = [];
  page.on("dialog", async dialog => {
    dialogs.push(dialog.type());
    await dialog.accept();
  });
  if (before) await page.evaluateOnNewDocument(before);
  const shelf = () => until(60, async () => (await title()) === "Inchwise");
  const frames = count => page.evaluate(count => new Promise(done => {
    const frame = left => left > 0 ? requestAnimationFrame(() => frame(left - 1)) : done();
    frame(count);
  }), count);
  const running = () => page.waitForSelector("#notice[hidden]", { timeout: 240_000 });
  const title = () => page.$eval("#inchwise", canvas => canvas.getAttribute("alt") ?? "");
  const says = async (words, most_s) => {
    const said = await until(most_s, async () => (await title()).includes(words));
    if (!said) log(`waited ${most_s} s for "${words}"; the title is "${await title()}"`);
    return said;
  };
  const opened = Date.now();
  await page.goto(pathToFileURL(path).href, { waitUntil: "load", timeout: 240_000 });
  await running();
  await shelf();
  return {
    page,
    dialogs,
    opened_s: seconds(opened),
    title,
    says,
    running,
    // One key after the other, each in a frame of its own, as hands do it.
    keys: async (...keys) => {
      for (const key of keys) {
        await page.keyboard.press(key, { delay: 50 });
        await frames(2);
      }
    },
    shelf,
    frames,
    // A hand's drag lasts several frames.
    drag: async (...places) => {
      await page.mouse.move(...places[0]);
      await page.mouse.down();
      for (const place of places.slice(1)) {
        await frames(2);
        await page.mouse.move(...place);
      }
      await frames(2);
      await page.mouse.up();
      await frames(2);
    },
    picture: async name => {
      if (pictures) await page.screenshot({ path: join(pictures, `${name}.png`) });
    },
    /** The files that the page keeps in the browser, with their texts. */
    files: () => page.evaluate(() => Object.fromEntries(
      Object.keys(localStorage).filter(key => key.startsWith("inchwise:"))
        .map(key => [key.slice("inchwise:".length), localStorage.getItem(key)]),
    )),
    /** Loads it again; the browser may ask first. */
    reload: async () => {
      dialogs.length = 0;
      await page.reload({ waitUntil: "load", timeout: 240_000 });
      await running();
      await shelf();
    },
    /** Drops a file onto it. */
    drop: (name, text) => page.evaluate((name, text) => {
      const dataTransfer = new DataTransfer();
      dataTransfer.items.add(new File([text], name));
      const event = new DragEvent("drop", { dataTransfer, bubbles: true, cancelable: true });
      document.getElementById("inchwise").dispatchEvent(event);
    }, name, text),
  };
};
