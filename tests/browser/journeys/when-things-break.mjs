// When things break: the engine stops on a change, storage is not allowed, the storage refuses a write.
//
// A worker is started from its source text, so a journey can put a few lines before it: they stand for a bug in the
// engine, a private window, a full disk.

import { journey } from '../harness.mjs';
import { beforeTheWorker } from '../before-the-worker.mjs';
import { atTheDoors, goTo, openSample, sheetOf, until } from '../steps.mjs';

/** The engine stops when it is asked to change the book for the `nth` time. */
const stopsAtChange = (nth) => `{
  const Plain = WebAssembly.Instance;
  let n = 0;
  WebAssembly.Instance = function (module, imports) {
    const instance = new Plain(module, imports);
    const exports = { ...instance.exports };
    exports.session_change = (...given) => {
      n += 1;
      if (n === ${nth}) throw new WebAssembly.RuntimeError('unreachable');
      return instance.exports.session_change(...given);
    };
    return { exports };
  };
}\n`;
const NO_STORAGE = "Object.defineProperty(self, 'indexedDB', { value: { open() { throw new DOMException('not here', 'SecurityError'); } } });\n";
const FULL_AFTER = (n) => `{
  const plain = IDBObjectStore.prototype.add;
  let n = 0;
  IDBObjectStore.prototype.add = function (...given) {
    n += 1;
    if (n > ${n}) throw new DOMException('The device is full.', 'QuotaExceededError');
    return plain.apply(this, given);
  };
}\n`;

async function typeNote(page, check, row, note) {
  const sheet = sheetOf(page);
  await until(check, () => sheet.text(0, 'tag'), (text) => Boolean(text), 'the sheet is filled');
  await sheet.go(row, 'note');
  await page.keyboard.type(note);
  await page.keyboard.press('Enter');
  return sheet;
}

await journey('the engine stops, starts again, and nothing acknowledged is lost', async ({ open, page, context, check, axe }) => {
  // The first change names the new book, two more are hers; the fourth stops the engine.
  await beforeTheWorker(context, stopsAtChange(4), 1);
  await open('');
  await openSample(page);
  await goTo(page, 'calves');
  await typeNote(page, check, 0, 'first');
  await until(check, () => page.locator('.saved').innerText(), (text) => /^Saved here/.test(text), 'the first is saved');
  await typeNote(page, check, 1, 'second');
  await until(check, () => page.locator('.saved').innerText(), (text) => /^Saved here/.test(text), 'the second is saved');
  const sheet = await typeNote(page, check, 2, 'the one that stops it');
  await page.getByText(/The engine stopped/).first().waitFor();
  await page.locator('.notice').getByText(/every change that was saved is here/).waitFor();
  await sheet.go(2, 'note');
  await until(check, () => sheet.text(0, 'note'), 'first', 'the first note is there');
  await until(check, () => sheet.text(1, 'note'), 'second', 'the second note is there');
  await until(check, () => sheet.text(2, 'note'), (text) => text === '', 'the change that stopped it is not');
  await axe('after a stop');
  await page.getByRole('button', { name: 'Put away' }).click();
  await typeNote(page, check, 2, 'goes on');
  await until(check, () => page.locator('.saved').innerText(), (text) => /^Saved here/.test(text), 'work goes on');
  await until(check, () => sheet.text(2, 'note'), 'goes on', 'the third note is there');
});

await journey('without storage the page says so and works', async ({ open, page, context, check }) => {
  await beforeTheWorker(context, NO_STORAGE);
  await open('');
  await atTheDoors(page);
  await page.locator('.notice').getByText(/does not let Fairpen keep books here/).waitFor();
  await openSample(page);
  check.match(await page.locator('.saved').innerText(), /In this tab only, not saved/);
  await goTo(page, 'calves');
  const sheet = await typeNote(page, check, 0, 'in memory');
  await until(check, () => sheet.text(0, 'note'), 'in memory', 'the note is there');
});

await journey('a full device is said, and the change stays on the page', async ({ open, page, context, check }) => {
  await beforeTheWorker(context, FULL_AFTER(1));
  await open('');
  await openSample(page);
  await goTo(page, 'calves');
  await typeNote(page, check, 0, 'fits');
  await until(check, () => page.locator('.saved').innerText(), (text) => /^Saved here/.test(text), 'the first is saved');
  const sheet = await typeNote(page, check, 1, 'too much');
  await page.locator('.notice').getByText(/did not keep the last change/).waitFor();
  check.match(await page.locator('.saved').innerText(), /Not saved, trying again/);
  await until(check, () => sheet.text(1, 'note'), 'too much', 'the note is on the page');
});
