// Earlier versions: the book of another day is listed, looked at and brought back; the present one is never lost.

import { readFileSync } from 'node:fs';
import { onLaterDays } from '../before-the-worker.mjs';
import { journey } from '../harness.mjs';
import { bringIn, goTo, openSample, sheetOf, sideways, until } from '../steps.mjs';

const saved = (page, check) => until(check, () => page.locator('.saved').innerText(), (text) => /^Saved here/.test(text), 'it is saved');
const versions = (page) => page.locator('.version:not(.now)');

async function note(page, check, row, text) {
  await goTo(page, 'calves');
  const sheet = sheetOf(page);
  await page.locator('fp-sheet fp-grid[data-ready]').waitFor();
  await sheet.go(row, 'note');
  await page.keyboard.type(text);
  await page.keyboard.press('Enter');
  await saved(page, check);
}
async function noteIs(page, check, row, text) {
  await goTo(page, 'calves');
  const sheet = sheetOf(page);
  await page.locator('fp-sheet fp-grid[data-ready]').waitFor();
  await sheet.go(row, 'note');
  await until(check, () => sheet.text(row, 'note'), text, `the note of row ${row + 1}`);
}
async function dayLater(page, days) {
  await page.evaluate((ahead) => localStorage.setItem('daysAhead', String(ahead)), days);
  await page.reload();
}
async function bringBack(page, version) {
  await version.getByRole('button', { name: 'Bring back' }).click();
  await page.getByRole('dialog').getByRole('button', { name: 'Bring it back' }).click();
}

await journey('versions of the last days', async ({ open, page, context, check, axe, screenshot, temporary }) => {
  await onLaterDays(context);
  await open('');
  await openSample(page);
  await goTo(page, 'versions');
  await page.getByText('No version is kept yet.').waitFor();
  await note(page, check, 0, 'first day');
  await note(page, check, 1, 'first day too');

  // The next day, opening the book is enough to keep the end of the first.
  await dayLater(page, 1);
  await goTo(page, 'versions');
  await page.locator('fp-versions h1').waitFor();
  await until(check, async () => {
    await goTo(page, 'fair');
    await goTo(page, 'versions');
    await page.locator('.version.now').waitFor();
    return versions(page).count();
  }, 1, 'the end of the first day is kept');
  check.match(await versions(page).first().innerText(), /End of the day.*typing in Note \(2 times\)/s);
  check.match(await versions(page).first().innerText(), /Calves: 18\d rows/);
  await note(page, check, 0, 'second day');

  // A file comes in: the book before it is kept.
  await bringIn(page, 'more.csv', 'tag,sex,birth date,weaning weight\n9001,steer,2026-03-01,512\n9002,heifer,2026-03-02,498\n');
  await page.getByRole('dialog').getByRole('button', { name: /^Bring in/ }).click();
  await until(check, () => page.locator('dialog[open]').count(), 0, 'it is in');
  await saved(page, check);
  await goTo(page, 'versions');
  await until(check, () => versions(page).count(), 2, 'the book before the file is kept');
  check.match(await versions(page).first().innerText(), /Before a file came in.*typing in Note/s);
  await versions(page).first().getByText('What differs from now').click();
  await versions(page).first().getByText(/2 rows changed or added since/).waitFor();
  await versions(page).last().getByText('What differs from now').click();
  await versions(page).last().getByText(/1 row only as it stood then; 3 rows changed or added since/).waitFor();
  await screenshot('versions-1280');
  await axe('the versions');

  // Brought back without a network; undo leads to the book as it stood.
  await context.setOffline(true);
  await bringBack(page, versions(page).last());
  await page.getByText(/is back\. Undo leads/).waitFor({ state: 'attached' });
  await until(check, () => versions(page).count(), 3, 'the book as it stood is kept first');
  await noteIs(page, check, 0, 'first day');
  await page.getByRole('button', { name: /^Undo\. Undo: bringing back the book of/ }).click();
  await noteIs(page, check, 0, 'second day');
  // The steps before it are still there to be taken back, one by one, and done again.
  await page.getByRole('button', { name: /^Undo\. Undo: bringing in/ }).click();
  await page.getByRole('button', { name: /^Undo\. Undo: typing in Note/ }).click();
  await noteIs(page, check, 0, 'first day');
  await page.getByRole('button', { name: /^Redo\. Do again: typing in Note/ }).click();
  await page.getByRole('button', { name: /^Redo\. Do again: bringing in/ }).click();
  await noteIs(page, check, 0, 'second day');
  await page.getByRole('button', { name: /^Redo\. Do again: bringing back/ }).click();
  await noteIs(page, check, 0, 'first day');

  // After a restart too, with a change since.
  await context.setOffline(false);
  await note(page, check, 2, 'since');
  await page.reload();
  await noteIs(page, check, 2, 'since');
  await noteIs(page, check, 0, 'first day');
  await page.getByRole('button', { name: /^Undo\. Undo: typing in Note/ }).click();
  await noteIs(page, check, 2, '');
  await page.getByRole('button', { name: /^Undo\. Undo: bringing back the book of/ }).click();
  await noteIs(page, check, 0, 'second day');

  // A version as a file, and as a book of its own.
  await goTo(page, 'versions');
  await page.locator('.version.now').waitFor();
  const [download] = await Promise.all([page.waitForEvent('download'), versions(page).last().getByRole('button', { name: 'Save as a file' }).click()]);
  check.equal(readFileSync(await download.path()).subarray(0, 2).toString(), 'PK', 'a version is a saved book');
  check.match(download.suggestedFilename(), /^two-barns-invented-.*\.zip$/);
  await download.saveAs(`${temporary}/version.zip`);
  await versions(page).last().getByRole('button', { name: 'Open as a book of its own' }).click();
  await until(check, () => page.locator('.book-name').innerText(), (text) => /^Two barns \(invented\), /.test(text), 'it has a name of its own');
  await noteIs(page, check, 0, 'first day');
  await goTo(page, 'start');
  await until(check, () => page.locator('.books li').count(), 2, 'the other book stays');
});

await journey('versions on a phone, and days that nothing was done on', async ({ open, page, context, check, axe, screenshot }) => {
  await onLaterDays(context);
  await open('');
  await openSample(page);
  for (const [at, day] of [0, 1, 2, 20].entries()) {
    if (at > 0) await dayLater(page, day);
    await note(page, check, at, `day ${day}`);
  }
  await dayLater(page, 40);
  await until(check, async () => {
    await goTo(page, 'fair');
    await goTo(page, 'versions');
    await page.locator('.version.now').waitFor();
    return versions(page).count();
  }, 4, 'four days, however far apart');
  await bringBack(page, versions(page).last());
  await noteIs(page, check, 0, 'day 0');
  await noteIs(page, check, 1, '');
  await goTo(page, 'versions');
  await page.locator('.version.now').waitFor();
  check.equal(await sideways(page), 0, 'the page does not scroll sideways');
  await axe('the versions on a phone');
  await screenshot('versions-390');
}, { viewport: { width: 390, height: 844 } });
