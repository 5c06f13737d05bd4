// A task by keys: said, lifted, told, and kept in the log over a reload.
import { check, until } from "./browser.mjs";

const LOG = "/attempts.jsonl";
/** The place of the task on the list, from the top. */
const PLACE = 9;

/** The attempts that the page keeps; each text stands behind the time when it was written. */
const attempts = async files => {
  const text = (await files())[LOG] ?? "";
  const lines = text.split("\n").slice(1).filter(line => line.trim() !== "");
  return lines.map(line => JSON.parse(line));
};

export const task = async ({ keys, says, files, reload, shelf, picture }) => {
  await keys("p");
  await picture("tasks");
  await keys(...Array(PLACE).fill("ArrowDown"), "Enter");
  check(await says("Off the road, in the verge, size up:", 240), "Enter begins the chosen task");
  await picture("task");
  await keys("Space", "2", "4", "8", "ArrowUp", "ArrowUp", "Enter");
  check(await says(", lift:", 240), "what was said leads to the lift");
  check((await attempts(files)).length === 0, "nothing is in the log before it was lifted");
  await keys("Space");
  const kept = await until(600, async () => (await attempts(files)).length === 1);
  check(kept, "the attempt is in the log");
  await picture("came-of-it");
  await keys("Enter", "Home", "Home", "b", "2");
  const stopped = await until(30, async () => (await attempts(files)).length === 2);
  check(stopped, "to stop is an answer, too");
  const [lifted, stop] = await attempts(files);
  check(lifted?.came?.lifted?.outcome === "failed", "the first failed by its forces");
  check(stop?.came?.stopped?.why === "more_kit" && stop?.hints === 2, "the second says why");
  await picture("stopped");
  await keys("Escape", "Escape");
  check(await shelf(), "Escape is the shelf");
  await reload();
  check((await attempts(files)).length === 2, "the log is there after a reload");
};
