// Her own CSV, dropped on the page: understood, brought in, problems named, each a step from its cell.

import { journey } from '../harness.mjs';
import { atTheDoors, bringIn, dropFile, goTo, until } from '../steps.mjs';

const HEADER = 'Tag,Sex,Birth Date,Birth Wt,Dam Age,Pasture,Wean Date,Wean Wt (lb),Brand side';
const line = (tag, sex, born, birth, age, place, weaned, weight) => [tag, sex, born, birth, age, place, weaned, weight, 'left'].join(',');
const ROWS = [
  ...Array.from({ length: 24 }, (_, row) => line(`T${100 + row}`, row % 2 ? 'steer' : 'heifer', `2026-03-${String(1 + row).padStart(2, '0')}`, 70 + (row % 9), 3 + (row % 6), row % 3 ? 'North' : 'Creek', '2026-10-01', 480 + row * 7)),
  line('T200', 'steer', '2026-02-30', 78, 5, 'North', '2026-10-01', 560),
  line('T201', 'steer', '2026-03-12', 78, 5, 'North', '2026-10-01', 'heavy'),
  line('T100', 'heifer', '2026-03-14', 71, 5, 'Creek', '2026-10-01', 505),
];
const FILE = `\ufeff${[HEADER, ...ROWS].join('\r\n')}\r\n`;

await journey('her own file is understood before anything changes', async ({ open, page, check, screenshot }) => {
  await open('');
  await atTheDoors(page);
  await dropFile(page, 'my calves.csv', FILE);
  const dialog = page.getByRole('dialog');
  await dialog.getByRole('heading', { name: /What was understood of "my calves.csv"/ }).waitFor();
  check.equal(await dialog.locator('select[aria-label=\'Where "Wean Wt (lb)" goes\']').inputValue(), 'wean_weight');
  check.equal(await dialog.locator('select[aria-label=\'Where "Pasture" goes\']').inputValue(), 'place');
  check.equal(await dialog.locator('select[aria-label=\'Where "Brand side" goes\']').inputValue(), 'own');
  check.match(await dialog.locator('.unreadable').innerText(), /1 cell of "Birth Date"[^]*1 cell of "Wean Wt \(lb\)"/, 'what could not be read is said before anything changes');
  await screenshot('bring-in-1280');
  await dialog.locator('select[aria-label=\'Where "Brand side" goes\']').selectOption('leave_out');
  await until(check, () => dialog.locator('tr.left-out').count(), 1, 'a column is left out');
  await dialog.locator('select[aria-label=\'Where "Brand side" goes\']').selectOption('own');
  await dialog.getByRole('button', { name: /^Bring in 27 rows/ }).click();
  await page.getByRole('heading', { name: 'Fair weights', exact: true }).waitFor();

  await goTo(page, 'problems');
  await page.locator('.problem-group').first().waitFor();
  const all = (await page.locator('.problem-groups').innerText()).toLowerCase();
  check.match(all, /t201|heavy/, 'the weight that is not a number is named');
  const folded = page.locator('.problem-group:not([open]) summary');
  while ((await folded.count()) > 0) await folded.first().click();
  check.match(await page.locator('.problem-groups').innerText(), /2026-02-30/, 'the date that is not in the calendar is named');
  await page.locator('.problem-group a').first().click();
  await page.waitForURL(/#calves\/\d+/);
  await until(check, () => page.evaluate(() => document.activeElement?.getAttribute('role')), 'grid', 'the keyboard stands on the sheet');
  await page.getByRole('button', { name: /^Undo/ }).click();
  await until(check, () => page.locator('.sheet-head').innerText(), (text) => /\b0 rows/.test(text), 'one undo takes the whole file back');
});

await journey('cancelling changes nothing', async ({ open, page, check }) => {
  await open('');
  await atTheDoors(page);
  await bringIn(page, 'my calves.csv', FILE);
  await page.getByRole('dialog').getByRole('button', { name: 'Cancel' }).click();
  await atTheDoors(page);
  await until(check, () => page.locator('.books li').count(), 0, 'no book is left behind');
});

await journey('pasted rows go the same way', async ({ open, page }) => {
  await open('');
  await atTheDoors(page);
  await page.getByLabel('Rows to paste').fill(ROWS.slice(0, 5).join('\n').replace(/^/, `${HEADER}\n`).replace(/,/g, '\t'));
  await page.getByRole('button', { name: 'Look at these rows' }).click();
  await page.getByRole('dialog').getByRole('button', { name: /^Bring in 5 rows/ }).click();
  await page.getByRole('heading', { name: 'Fair weights', exact: true }).waitFor();
});
