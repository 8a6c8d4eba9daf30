// Two tabs on one book: one writes, the other reads; the book goes over without losing an edit.

import { journey } from '../harness.mjs';
import { goTo, openSample, sheetOf, until } from '../steps.mjs';

const READING = 'This book is open in another tab. Here it can be read, not changed.';
const saved = (page, check) => until(check, () => page.locator('.saved').innerText(), (text) => /^Saved here/.test(text), 'it is saved');

async function onTheSheet(page, check) {
  const sheet = sheetOf(page);
  await page.locator('fp-grid[data-ready]').waitFor();
  // Rows out of sight are not on the page.
  await sheet.go(0, 'tag');
  await until(check, () => sheet.text(0, 'tag'), (text) => Boolean(text), 'the sheet is filled');
  return sheet;
}
async function noteIn(page, check, row, text) {
  const sheet = await onTheSheet(page, check);
  await sheet.go(row, 'note');
  await page.keyboard.type(text);
  await page.keyboard.press('Enter');
}
async function noteIs(page, check, row, text) {
  const sheet = await onTheSheet(page, check);
  await sheet.go(row, 'note');
  await until(check, () => sheet.text(row, 'note'), text, `row ${row + 1} has its note`);
}
async function secondTab(context, address) {
  const second = await context.newPage();
  await second.goto(`${address}#calves`);
  await second.getByText(READING).waitFor();
  return second;
}

await journey('the second tab takes the book over', async ({ open, page, context, server, check, screenshot, axe }) => {
  await open('');
  await openSample(page);
  await goTo(page, 'calves');
  await onTheSheet(page, check);
  const second = await secondTab(context, server.address);
  await onTheSheet(second, check);
  await screenshot('two-tabs-reading-1280', second);
  await axe('a book that is read', second);

  // A change that goes out just before, many behind it, and one that is still being typed.
  await page.bringToFront();
  for (let row = 0; row < 12; row += 1) await noteIn(page, check, row, `early ${row}`);
  await sheetOf(page).go(12, 'note');
  await page.keyboard.type('half typed');
  await second.getByRole('button', { name: 'Take over here' }).click();
  await saved(second, check);
  await page.getByText(READING).waitFor();
  for (const [row, text] of [[0, 'early 0'], [11, 'early 11'], [12, 'half typed']]) await noteIs(second, check, row, text);

  // The first can be read, and does not write.
  check.equal(await page.getByRole('button', { name: /^Undo/ }).isDisabled(), true, 'nothing to undo in the tab that reads');

  // The second writes, and the first takes the book back: it has both.
  await noteIn(second, check, 13, 'from the second');
  await page.getByRole('button', { name: 'Take over here' }).click();
  await saved(page, check);
  await second.getByText(READING).waitFor();
  await noteIs(page, check, 13, 'from the second');
  await noteIs(page, check, 12, 'half typed');
  await noteIn(page, check, 14, 'back again');
  await saved(page, check);

  // All of it is on the device.
  await second.close();
  await page.reload();
  for (const [row, text] of [[0, 'early 0'], [12, 'half typed'], [13, 'from the second'], [14, 'back again']]) await noteIs(page, check, row, text);
});

await journey('the tab that writes is closed', async ({ open, page, context, server, check }) => {
  await open('');
  await openSample(page);
  await goTo(page, 'calves');
  await onTheSheet(page, check);
  const second = await secondTab(context, server.address);
  await noteIn(page, check, 0, 'last words');
  await saved(page, check);
  await page.close();
  await second.bringToFront();
  await saved(second, check);
  await until(check, () => second.getByText(READING).count(), 0, 'it says no more that it only reads');
  await noteIs(second, check, 0, 'last words');
  await noteIn(second, check, 1, 'goes on');
  await saved(second, check);
});
