// What takes longer than half a second says what it is and can be stopped; the book is then as it was last saved.

import { journey } from '../harness.mjs';
import { bringIn, goTo, openSample, sheetOf, until } from '../steps.mjs';
import { bookOf } from '../zip-file.mjs';

const known = (name) => ({ name, fairpen: { origin: 'known' } });
const CALVES = ['tag', 'sex', 'birth_date', 'wean_date', 'wean_weight', 'dam_age', 'place', 'note'];
const N = 400_000;

function large() {
  const lines = [CALVES.join(',')];
  for (let at = 0; at < N; at += 1) lines.push(`${at},${at % 2 ? 'steer' : 'heifer'},${2000 + at % 25}-03-${String(1 + at % 20).padStart(2, '0')},${2000 + at % 25}-10-01,${450 + at % 120},${2 + at % 9},P${at % 7},old`);
  return bookOf({ title: 'A large herd', sheets: [{ name: 'calves', fields: CALVES.map(known), csv: `${lines.join('\n')}\n` }] });
}

/** A quick finger: stops the act with these words as soon as it is offered. */
const stopWhenOffered = (page, words) => page.evaluate((wanted) => { globalThis.stopAt = wanted; }, words);
/** Waits until the act was stopped, and everything is at rest again. */
async function stopped(page, check, words) {
  await until(check, () => page.evaluate(() => globalThis.stoppedAt ?? ''), words, 'it was offered and stopped', 60_000);
  await page.evaluate(() => { globalThis.stoppedAt = ''; });
  await until(check, () => page.locator('.busy-strip').count(), 0, 'the strip goes', 60_000);
  await saved(page, check);
}
const saved = (page, check, patience = 30_000) => until(check, () => page.locator('.saved').innerText(), (text) => /^Saved here/.test(text), 'it is saved', patience);

await journey('a long act is said and can be stopped', async ({ open, page, check, screenshot }) => {
  await page.addInitScript(() => {
    globalThis.shifts = 0;
    setInterval(() => {
      const { stopAt } = globalThis;
      const button = document.querySelector('.busy-strip button');
      if (button === null || !stopAt || !button.parentElement.textContent.includes(stopAt)) return;
      globalThis.stopAt = '';
      globalThis.stoppedAt = stopAt;
      button.click();
    }, 10);
    new PerformanceObserver((list) => { for (const entry of list.getEntries()) if (!entry.hadRecentInput) globalThis.shifts += entry.value; }).observe({ type: 'layout-shift', buffered: true });
  });
  await open('');
  await openSample(page);
  await saved(page, check);
  const bytes = large();

  // Opening is stopped: the book that was open is open again.
  await stopWhenOffered(page, 'Opening the book');
  await bringIn(page, 'large.zip', bytes);
  await stopped(page, check, 'Opening the book');
  check.equal(await page.locator('.book-name').innerText(), 'Two barns (invented)');
  await goTo(page, 'start');
  await until(check, () => page.locator('.books li').count(), 1, 'nothing of the stopped book is kept');

  await bringIn(page, 'large.zip', bytes);
  await until(check, () => page.locator('.book-name').innerText(), 'A large herd', 'it opens when it is let', 60_000);
  await goTo(page, 'calves');
  const sheet = sheetOf(page);
  await page.locator('fp-sheet fp-grid[data-ready]').waitFor();
  await sheet.go(0, 'note');

  // Replacing in every row is stopped: no row is changed, also after a restart.
  await page.getByRole('button', { name: 'Replace', exact: true }).click();
  await page.getByLabel('Find', { exact: true }).last().fill('old');
  await page.getByLabel('Replace with').fill('new');
  const replace = page.getByRole('button', { name: /^Replace in 400,000 cells/ });
  await replace.waitFor({ timeout: 60_000 });
  await stopWhenOffered(page, 'Replacing');
  await replace.click();
  await stopped(page, check, 'Replacing');
  await page.locator('fp-sheet fp-grid[data-ready]').waitFor();
  await until(check, async () => {
    await sheet.go(N - 1, 'note');
    return sheet.text(N - 1, 'note');
  }, 'old', 'the last row is as it was', 30_000);

  // A file to hand over, stopped and then made.
  await goTo(page, 'hand-over');
  await page.locator('fp-hand-over-rows tbody tr').first().waitFor({ timeout: 60_000 });
  await page.evaluate(() => { globalThis.shifts = 0; });
  await page.getByRole('button', { name: 'Make the file' }).click();
  await page.locator('.busy-strip').getByText(/^Making the file/).waitFor();
  check.ok((await page.evaluate(() => globalThis.shifts)) < 0.005, 'nothing moves when the strip comes');
  await screenshot('long-act-1280');
  await stopWhenOffered(page, 'Making the file');
  await stopped(page, check, 'Making the file');
  check.equal(await page.locator('.notice').count(), 0, 'what she stopped is no trouble');
  check.equal(await page.locator('.book-name').innerText(), 'A large herd');
  await goTo(page, 'hand-over');
  await page.locator('fp-hand-over-rows tbody tr').first().waitFor({ timeout: 60_000 });
  const [copy] = await Promise.all([page.waitForEvent('download', { timeout: 60_000 }), page.locator('[aria-labelledby=copy]').getByRole('button', { name: 'Save a copy' }).click()]);
  check.match(copy.suggestedFilename(), /^a-large-herd\.zip$/);
});
