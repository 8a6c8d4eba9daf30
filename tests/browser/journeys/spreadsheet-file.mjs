// Her own spreadsheet file: its sheets to choose from, each looked at before it comes in.

import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { journey } from '../harness.mjs';
import { atTheDoors, bringIn, goTo, until } from '../steps.mjs';

const file = (name) => readFileSync(fileURLToPath(new URL(`../../../crate/wasm-spreadsheet/tests/files/${name}`, import.meta.url)));

await journey('a spreadsheet file comes in sheet by sheet', async ({ open, page, check, screenshot, axe }) => {
  await open('');
  await atTheDoors(page);
  await bringIn(page, 'fall weights.xlsx', file('three_sheets.xlsx'));
  const dialog = page.getByRole('dialog');
  await dialog.getByRole('heading', { name: 'Which sheets of "fall weights.xlsx"?' }).waitFor();
  const sheets = dialog.getByRole('checkbox');
  await until(check, () => sheets.count(), 3, 'every sheet with something in it is offered');
  check.equal(await dialog.getByRole('checkbox', { name: /Calves weaned/ }).isChecked(), true, 'the fullest sheet is chosen');
  await axe();
  await screenshot('spreadsheet-sheets-1280');
  await dialog.getByRole('checkbox', { name: /^Cows/ }).check();
  await dialog.getByRole('button', { name: 'Look at them' }).click();
  await dialog.getByRole('heading', { name: 'What was understood of "fall weights.xlsx (Calves weaned)"?' .replace('?', '') }).waitFor();
  check.match(await dialog.innerText(), /Rows 4 to 15 of column B are one merged cell/);
  check.equal(await dialog.locator('select[aria-label=\'Where "Wean wt (lb)" goes\']').inputValue(), 'wean_weight');
  check.equal(await dialog.locator('select[aria-label=\'Where "Calf tag" goes\']').inputValue(), 'tag');
  await screenshot('spreadsheet-understood-1280');
  await dialog.getByRole('button', { name: /^Bring in 24 rows/ }).click();
  await dialog.getByRole('heading', { name: 'What was understood of "fall weights.xlsx (Cows)"' }).waitFor();
  await dialog.getByRole('button', { name: /^Bring in 24 rows to Cows/ }).click();
  await until(check, () => dialog.count(), 0, 'both are in');
  await goTo(page, 'fair');
  await page.getByRole('heading', { name: 'Fair weights', exact: true }).waitFor();
  await until(check, () => page.locator('main').innerText(), (text) => /\b0105\b/.test(text), 'the tag keeps its zero');
});

await journey('a damaged or locked spreadsheet file is refused with what to do', async ({ open, page, check }) => {
  await open('');
  await atTheDoors(page);
  await bringIn(page, 'cut.xlsx', file('three_sheets.xlsx').subarray(0, 3000));
  await until(check, () => page.locator('body').innerText(), (text) => /could not be read as a spreadsheet/.test(text), 'it says so');
  await bringIn(page, 'old weights.xls', file('old_weights.xls'));
  await page.getByRole('dialog').getByRole('heading', { name: 'What was understood of "old weights.xls"' }).waitFor();
});
