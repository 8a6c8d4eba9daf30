// Killing the tab, or the browser with it, loses nothing that was acknowledged.

import { join } from 'node:path';
import { browserOfItsOwn } from '../browser-process.mjs';
import { journey } from '../harness.mjs';
import { goTo, openSample, sheetOf, until } from '../steps.mjs';

async function typeNotes(page, check, notes) {
  const sheet = sheetOf(page);
  await until(check, () => sheet.text(0, 'tag'), (text) => Boolean(text), 'the sheet is filled');
  await sheet.go(0, 'note');
  for (const note of notes) {
    await page.keyboard.type(note);
    await page.keyboard.press('Enter');
  }
}

/** The change is acknowledged when nothing is on its way and the sheet shows no cell as waiting. */
const acknowledged = (page, check) => until(check, () => page.locator('.saved').innerText(), (text) => /^Saved here/.test(text), 'everything is acknowledged');

await journey('a tab that is closed without warning', async ({ open, page, context, server, check }) => {
  await open('');
  await openSample(page);
  await goTo(page, 'calves');
  const notes = Array.from({ length: 60 }, (_, index) => `kept ${index}`);
  await typeNotes(page, check, notes);
  await acknowledged(page, check);
  await page.keyboard.type('half typ');
  await page.close({ runBeforeUnload: false });

  const again = await context.newPage();
  await again.goto(`${server.address}#calves`);
  const sheet = sheetOf(again);
  await until(check, () => sheet.text(0, 'tag'), (text) => Boolean(text), 'the sheet is filled');
  await sheet.go(0, 'note');
  await until(check, () => sheet.text(0, 'note'), 'kept 0', 'the first note is there');
  await sheet.go(59, 'note');
  await until(check, () => sheet.text(59, 'note'), 'kept 59', 'the last acknowledged note is there');
});

await journey('a browser that is killed mid-typing', async ({ server, temporary, check }) => {
  const profile = join(temporary, 'killed');
  const first = await browserOfItsOwn(profile);
  await first.page.goto(server.address);
  await openSample(first.page);
  await goTo(first.page, 'calves');
  await typeNotes(first.page, check, ['one', 'two', 'three']);
  await acknowledged(first.page, check);
  await first.page.keyboard.type('never finished');
  await first.kill();

  const second = await browserOfItsOwn(profile);
  try {
    await second.page.goto(`${server.address}#calves`);
    const sheet = sheetOf(second.page);
    await until(check, () => sheet.text(0, 'tag'), (text) => Boolean(text), 'the sheet is filled');
    await sheet.go(0, 'note');
    for (const [row, note] of [[0, 'one'], [1, 'two'], [2, 'three']]) {
      await until(check, () => sheet.text(row, 'note'), note, `row ${row + 1} kept its note`);
    }
  } finally {
    await second.kill();
  }
});
