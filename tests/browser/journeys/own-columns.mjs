// Columns of her own: a kind for a new one, another kind for one that is there, and calves compared by a formula.

import { journey } from '../harness.mjs';
import { goTo, openSample, sheetOf, until } from '../steps.mjs';

const facts = (page) => page.evaluate(() => Object.fromEntries([...document.querySelectorAll('fp-status-line .fact')]
  .map((fact) => [fact.dataset.fact, fact.querySelector('b').textContent])));

await journey('a column of numbers of her own', async ({ open, page, check, axe, screenshot }) => {
  await open('');
  await openSample(page);
  await goTo(page, 'calves');
  await page.getByRole('heading', { name: 'Calves', exact: true }).waitFor();
  const sheet = sheetOf(page);
  await until(check, () => sheet.text(0, 'tag'), (text) => Boolean(text), 'the sheet is filled');

  await page.getByRole('button', { name: 'Add a column' }).click();
  const dialog = page.getByRole('dialog', { name: 'Columns of your own' });
  await dialog.getByLabel('Header of a new column').fill('Hip height');
  await dialog.getByLabel('What it will hold').selectOption('number');
  for (const look of ['light', 'dark', 'sun']) {
    await page.evaluate((theme) => { document.documentElement.dataset.theme = theme; }, look);
    await axe(`columns of her own, ${look}`);
  }
  await dialog.getByRole('button', { name: 'Add it' }).click();
  await until(check, () => page.evaluate(() => document.querySelector('fp-grid').columns.some(({ key }) => key === 'hip_height')), true, 'the column is there');
  for (const [row, text] of [[0, '44'], [1, '46.5'], [2, 'tall'], [3, '1,048']]) {
    await sheet.go(row, 'hip_height');
    await page.keyboard.type(text);
    await page.keyboard.press('Enter');
    await until(check, () => sheet.text(row, 'hip_height'), (shown) => Boolean(shown), `${text} is kept`);
  }
  await until(check, () => sheet.text(3, 'hip_height'), '1048', 'a thousand with its comma is a number');
  await sheet.go(0, 'hip_height');
  for (const key of ['Shift+ArrowDown', 'Shift+ArrowDown', 'Shift+ArrowDown']) await page.keyboard.press(key);
  await until(check, () => facts(page).then(({ sum }) => sum), '1,138.5', 'numbers are added');
  check.equal((await facts(page)).unreadable, '1', 'what cannot be read is counted apart');

  // Another kind, and back by undo.
  await page.getByRole('button', { name: 'Add a column' }).click();
  await dialog.getByLabel('Hip height').selectOption('weight');
  await until(check, () => page.evaluate(() => document.querySelector('fp-grid').columns.find(({ key }) => key === 'hip_height').unit), 'lb', 'weights have the unit of the book');
  await screenshot('own-columns-1280');
  await dialog.getByRole('button', { name: 'Close' }).click();
  check.equal(await sheet.text(2, 'hip_height'), 'tall', 'nothing is lost');
  await sheet.go(0, 'hip_height');
  await page.keyboard.press('Control+z');
  await until(check, () => page.evaluate(() => document.querySelector('fp-grid').columns.find(({ key }) => key === 'hip_height').unit), '', 'undo');
}, { viewport: { width: 1280, height: 800 } });
