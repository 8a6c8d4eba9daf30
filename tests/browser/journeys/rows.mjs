// Whole rows: put in, taken off the record, brought back and hidden; by keys alone on a desk, and with a finger.

import { journey } from '../harness.mjs';
import { goTo, openSample, sheetOf, until } from '../steps.mjs';

async function toSheet(page, check, key, label) {
  await goTo(page, key);
  await page.getByRole('heading', { name: label, exact: true }).waitFor();
  const sheet = sheetOf(page);
  await until(check, () => sheet.text(0, 'tag'), (text) => Boolean(text), 'the sheet is filled');
  return sheet;
}

const nRows = (page) => page.evaluate(() => document.querySelector('fp-grid').nRows);
const line = (page) => page.locator('fp-status-line').innerText();
/** A point inside a cell. */
const cell = (page, row, column) => page.evaluate(([r, key]) => {
  const grid = document.querySelector('fp-grid');
  const box = grid.boxOf({ row: r, column: grid.columns.findIndex((one) => one.key === key) });
  const { left, top } = grid.getBoundingClientRect();
  return { x: left + box.left + 24, y: top + box.top + 20 };
}, [row, column]);
const menu = (page) => page.getByRole('dialog', { name: 'Rows' });

await journey('rows by keys alone', async ({ open, page, check, axe, screenshot }) => {
  await open('');
  await openSample(page);
  const sheet = await toSheet(page, check, 'calves', 'Calves');
  const before = await nRows(page);
  const tags = [];
  for (const row of [0, 1, 2, 3, 4]) tags.push(await sheet.text(row, 'tag'));

  // Without whole rows chosen the key is the browser's own.
  await sheet.go(1, 'tag');
  await page.keyboard.press('Control+-');
  check.equal(await nRows(page), before, 'one cell is not a row');

  await page.keyboard.press('Shift+Space');
  await page.keyboard.press('Shift+ArrowDown');
  await page.keyboard.press('Control+-');
  await until(check, () => nRows(page), before - 2, 'two rows fewer');
  await until(check, () => sheet.text(1, 'tag'), tags[3], 'the next row moved up');
  await until(check, () => line(page), (text) => text.startsWith('2 calves taken off.'), 'it is said, with the way back');
  await until(check, () => page.locator('.sheet-head [role=status]').innerText(), `${(before - 2).toLocaleString('en-US')} rows`, 'the count follows');
  await axe('after rows were taken off');
  await screenshot('rows-taken-off-1280');
  await page.keyboard.press('Control+z');
  await until(check, () => nRows(page), before, 'undo brings them back');
  await until(check, () => sheet.text(1, 'tag'), tags[1], 'to where they stood');
  await until(check, () => line(page), (text) => !text.includes('taken off'), 'nothing is said of it any more');

  // As many in above as are chosen; they stay there while they are typed into.
  await sheet.go(2, 'tag');
  await page.keyboard.press('Shift+Space');
  await page.keyboard.press('Shift+ArrowDown');
  await page.keyboard.press('Control+=');
  await until(check, () => nRows(page), before + 2, 'two rows more');
  check.equal(await sheet.text(2, 'tag'), '');
  check.equal(await sheet.text(4, 'tag'), tags[2], 'above the rows chosen');
  await sheet.go(2, 'tag');
  await page.keyboard.type('NEW1');
  await page.keyboard.press('Enter');
  await until(check, () => sheet.text(2, 'tag'), 'NEW1', 'it stands where it was put');
  check.equal(await sheet.text(4, 'tag'), tags[2]);

  // The menu by its key: below, how many, hide, show.
  await sheet.go(0, 'tag');
  await page.keyboard.press('Shift+F10');
  await menu(page).waitFor();
  check.match(await menu(page).innerText(), /Row 1 is chosen\./);
  for (const look of ['light', 'dark', 'sun']) {
    await page.evaluate((theme) => { document.documentElement.dataset.theme = theme; }, look);
    await axe(`the rows window, ${look}`);
  }
  await screenshot('rows-menu-1280');
  await menu(page).getByLabel('New rows, how many').fill('3');
  await menu(page).getByRole('button', { name: 'Put in below' }).focus();
  await page.keyboard.press('Enter');
  await until(check, () => nRows(page), before + 5, 'three more');
  check.equal(await sheet.text(0, 'tag'), tags[0]);
  check.equal(await sheet.text(1, 'tag'), '');
  check.equal(await sheet.text(4, 'tag'), tags[1], 'under the row chosen');

  await sheet.go(1, 'tag');
  for (const key of ['Shift+ArrowDown', 'Shift+ArrowDown']) await page.keyboard.press(key);
  await page.keyboard.press('Shift+F10');
  await menu(page).waitFor();
  await menu(page).getByRole('button', { name: 'Hide 3 rows here' }).focus();
  await page.keyboard.press('Enter');
  await until(check, () => nRows(page), before + 2, 'three are hidden');
  await until(check, () => page.locator('.away').innerText(), (text) => text.includes('3 rows hidden'), 'the line says so');
  check.equal(await sheet.text(1, 'tag'), tags[1]);
  await axe('with rows hidden');
  await screenshot('rows-hidden-1280');
  await page.getByRole('button', { name: 'Show the hidden rows' }).focus();
  await page.keyboard.press('Enter');
  await until(check, () => nRows(page), before + 5, 'one press shows them');

  // Taken off, kept over a reload, brought back in another sitting.
  await sheet.go(0, 'tag');
  await page.keyboard.press('Shift+Space');
  await page.keyboard.press('Control+-');
  await until(check, () => sheet.text(0, 'tag'), '', 'the first row is off');
  await page.reload();
  await page.getByRole('heading', { name: 'Calves', exact: true }).waitFor();
  await until(check, () => nRows(page), before + 4, 'it is off after a reload');
  await page.getByRole('button', { name: 'Rows', exact: true }).focus();
  await page.keyboard.press('Enter');
  await menu(page).waitFor();
  await menu(page).getByRole('button', { name: 'Bring back 1 row taken off' }).focus();
  await page.keyboard.press('Enter');
  await until(check, () => nRows(page), before + 5, 'it is back');
  await until(check, () => line(page), (text) => text.startsWith('1 calf brought back.'), 'and said');
}, { viewport: { width: 1280, height: 800 } });

await journey('a cow that is a dam, by mouse', async ({ open, page, check, screenshot }) => {
  await open('');
  await openSample(page);
  const sheet = await toSheet(page, check, 'cows', 'Cows');
  const before = await nRows(page);
  const { x, y } = await cell(page, 0, 'tag');
  await page.mouse.click(x, y, { button: 'right' });
  await menu(page).waitFor();
  await menu(page).getByRole('button', { name: 'Take 1 row off the record' }).click();
  await until(check, () => nRows(page), before - 1, 'she is off');
  await until(check, () => line(page), (text) => /1 cow taken off\. Still naming them: \d+ cal(f|ves) \(Dam\)/.test(text), 'her calves are named');
  await screenshot('rows-dam-1280');
  await page.locator('fp-status-line').getByRole('button', { name: 'Undo' }).click();
  await until(check, () => nRows(page), before, 'one press brings her back');
}, { viewport: { width: 1280, height: 800 } });

await journey('rows with a finger', async ({ open, page, check, axe, screenshot }) => {
  await open('');
  await openSample(page);
  const sheet = await toSheet(page, check, 'calves', 'Calves');
  const before = await nRows(page);
  const second = await sheet.text(1, 'tag');
  const { x, y } = await cell(page, 0, 'tag');
  await page.touchscreen.tap(x, y);
  // A long press offers the acts.
  const client = await page.context().newCDPSession(page);
  await client.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: [{ x, y }] });
  const acts = page.getByRole('toolbar', { name: 'Selected cells' });
  await acts.waitFor();
  await client.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
  await acts.getByRole('button', { name: 'Rows' }).tap();
  await menu(page).waitFor();
  for (const look of ['light', 'dark', 'sun']) {
    await page.evaluate((theme) => { document.documentElement.dataset.theme = theme; }, look);
    await axe(`the rows window on a phone, ${look}`);
  }
  await screenshot('rows-menu-390');
  await menu(page).getByRole('button', { name: 'Take 1 row off the record' }).tap();
  await until(check, () => nRows(page), before - 1, 'the row is off');
  await until(check, () => sheet.text(0, 'tag'), second, 'the next one is first');
  await axe('after a row was taken off on a phone');
  await screenshot('rows-taken-off-390');
  await page.locator('fp-status-line').getByRole('button', { name: 'Undo' }).tap();
  await until(check, () => nRows(page), before, 'and back');
}, { viewport: { width: 390, height: 844 }, context: { hasTouch: true, isMobile: true } });
