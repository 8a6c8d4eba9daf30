// What is asked while a file comes in, and never guessed: an animal that was taken off the record, and a name that fits two.

import { journey } from '../harness.mjs';
import { atTheDoors, bringIn, goTo, sheetOf, until } from '../steps.mjs';

const COWS = 'tag,birth_date,breed\n008,2019-04-02,\n009,2020-03-05,Angus\n010,2018-02-20,\n';
const AGAIN = 'tag,birth_date,breed\n008,2019-04-02,Hereford\n009,2020-03-05,Hereford\n010,2018-02-20,Angus\n';
const CALVES = 'tag,sex,birth_date,dam,place\n010,steer,2025-03-04,008,North\n201,heifer,2025-03-08,010,North\n';
const SCALE = 'tag,date,weight\n010,2025-10-01,512\n201,2025-10-01,498\n';

const nRows = (page) => page.evaluate(() => document.querySelector('fp-grid')?.nRows ?? -1);
const undo = (page) => page.getByRole('button', { name: /^Undo/ }).click();

async function bring(page, check, name, content, button) {
  await bringIn(page, name, content);
  await page.getByRole('dialog').getByRole('button', { name: button }).click();
  await until(check, () => page.getByRole('dialog').count(), 0, `${name} is in`);
}

async function toSheet(page, check, key, label) {
  await goTo(page, key);
  await page.getByRole('heading', { name: label, exact: true, level: 1 }).waitFor();
  await until(check, () => page.evaluate((wanted) => document.querySelector('fp-grid')?.source?.sheet === wanted, key), true, `${label} is shown`);
  return sheetOf(page);
}

async function takeOff(page, sheet, row, n = 1) {
  await sheet.go(row, 'tag');
  await page.keyboard.press('Shift+Space');
  for (let more = 1; more < n; more += 1) await page.keyboard.press('Shift+ArrowDown');
  await page.keyboard.press('Control+-');
}

await journey('a file with cows that were taken off, and a scale whose tag fits two', async ({ open, page, check, axe, screenshot }) => {
  await open('');
  await atTheDoors(page);
  await bring(page, check, 'cows.csv', COWS, /^Bring in 3 rows/);
  const cows = await toSheet(page, check, 'cows', 'Cows');
  await takeOff(page, cows, 0, 2);
  await until(check, () => nRows(page), 1, 'two cows are off');

  // The file that names them asks, and has chosen nothing.
  await bringIn(page, 'cows.csv', AGAIN);
  const dialog = page.getByRole('dialog');
  const asked = dialog.getByRole('group', { name: /These 2 rows were taken off the record/ });
  await asked.waitFor();
  check.equal(await asked.getByRole('radio', { checked: true }).count(), 0, 'nothing is chosen beforehand');
  await dialog.getByRole('button', { name: /^Bring in to Cows: 0 new rows, 1 changed row$/ }).waitFor();
  await axe('rows that were taken off');
  await screenshot('taken-off-asked-1280');
  await page.setViewportSize({ width: 390, height: 844 });
  await asked.scrollIntoViewIfNeeded();
  await screenshot('taken-off-asked-390');
  await page.setViewportSize({ width: 1280, height: 900 });
  await asked.getByLabel('Bring them back and update them').check();
  await dialog.getByLabel('What to do with 009, line 3').selectOption({ label: 'bring it back: write over what differs' });
  await dialog.getByRole('button', { name: /^Bring in to Cows: 0 new rows, 1 changed row, 2 brought back$/ }).click();
  await until(check, () => dialog.count(), 0, 'it is in');
  await until(check, () => nRows(page), 3, 'both are back, and nobody twice');
  await until(check, async () => `${await cows.text(0, 'breed')} ${await cows.text(1, 'breed')}`, 'Hereford Hereford', 'and brought up to date');
  await undo(page);
  await until(check, () => nRows(page), 1, 'one undo takes all of it back');
  await undo(page);
  await until(check, () => nRows(page), 3, 'and one more the taking off');

  // A scale whose tag 010 is a cow's and a calf's.
  await bring(page, check, 'calves.csv', CALVES, /^Bring in 2 rows/);
  await bringIn(page, 'weights.csv', SCALE);
  const name = dialog.getByRole('group', { name: /^Line 2, Animal 010/ });
  await name.waitFor();
  check.equal(await name.getByRole('radio', { checked: true }).getAttribute('name').then(() => name.getByLabel('Leave it for later').isChecked()), true, 'left for later until she says');
  await axe('a name that fits two');
  await screenshot('name-asked-1280');
  await page.setViewportSize({ width: 390, height: 844 });
  await name.scrollIntoViewIfNeeded();
  await screenshot('name-asked-390');
  await page.setViewportSize({ width: 1280, height: 900 });
  await name.getByLabel(/Calf 010, steer/).check();
  await until(check, () => dialog.locator('fp-naming [role=status]').innerText(), '1 of 1 chosen.', 'the choice is taken');
  await dialog.getByRole('button', { name: /^Bring in 2 rows/ }).click();
  await until(check, () => dialog.count(), 0, 'the weights are in');
  const weights = await toSheet(page, check, 'weights', 'Weights');
  await until(check, () => weights.text(0, 'animal'), 'calf 010', 'the calf is named');
  await weights.go(0, 'animal');
  await page.getByRole('button', { name: 'Open calf 010', exact: true }).waitFor();
}, { viewport: { width: 1280, height: 900 } });

await journey('a dam that was taken off, a double, and a tag typed over', async ({ open, page, check, axe, screenshot }) => {
  await open('');
  await atTheDoors(page);
  await bring(page, check, 'cows.csv', COWS, /^Bring in 3 rows/);
  await bring(page, check, 'calves.csv', CALVES, /^Bring in 2 rows/);
  const sheet = await toSheet(page, check, 'cows', 'Cows');
  await takeOff(page, sheet, 0);
  await until(check, () => nRows(page), 2, 'cow 008 is off');

  // Her calf still names her: no stranger, and the way back is there.
  await toSheet(page, check, 'calves', 'Calves');
  await sheet.go(0, 'dam');
  await page.getByRole('button', { name: '008 was taken off' }).click();
  const which = page.locator('dialog.which[open]');
  await which.getByText('008 was taken off this record.').waitFor();
  await axe('a dam that was taken off');
  await screenshot('dam-taken-off-1280');
  await which.getByRole('button', { name: 'Close' }).click();
  await goTo(page, 'problems');
  const problem = page.locator('.problem-group').filter({ hasText: 'A name that was taken off the record.' });
  await problem.waitFor();
  if (!(await problem.evaluate((group) => group.open))) await problem.locator('summary').click();
  await problem.getByRole('button', { name: /^Bring back/ }).waitFor();
  await axe('the problem of a name that was taken off');

  // Meanwhile somebody typed her in again: bringing her back would make two, and says so.
  await toSheet(page, check, 'cows', 'Cows');
  await sheet.go(2, 'tag');
  await page.keyboard.type('008');
  await page.keyboard.press('Enter');
  await until(check, () => nRows(page), 3, 'a second 008');
  await sheet.go(2, 'birth_date');
  await page.keyboard.type('2019-04-02');
  await page.keyboard.press('Enter');
  await until(check, () => sheet.text(2, 'birth_date'), Boolean, 'of the same year');
  await page.getByRole('button', { name: 'Rows', exact: true }).click();
  await page.getByRole('button', { name: /^Bring back 1 row/ }).click();
  const double = page.getByRole('dialog', { name: 'This row would stand twice' });
  await double.getByText(/the same tag and year of birth as Cow 008/).waitFor();
  await axe('a row that would stand twice');
  await screenshot('stand-twice-1280');
  await double.getByRole('button', { name: 'Leave it off' }).click();
  check.equal(await nRows(page), 3, 'it stays off');

  // A tag that a calf names is typed over.
  const typeOver = async () => {
    await sheet.go(2, 'tag');
    await page.keyboard.type('018');
    await page.keyboard.press('Enter');
  };
  const typed = page.getByRole('dialog', { name: 'Give a new tag instead?' });
  await typeOver();
  await typed.getByText(/Cow 008 is named 008 in 1 row of Calves \(Dam\)/).waitFor();
  await axe('a tag typed over that others name');
  await screenshot('typed-over-1280');
  await page.setViewportSize({ width: 390, height: 844 });
  await screenshot('typed-over-390');
  await page.setViewportSize({ width: 1280, height: 900 });
  await typed.getByRole('button', { name: 'Cancel' }).click();
  await until(check, () => sheet.text(2, 'tag'), '008', 'nothing was changed');
  await typeOver();
  await typed.getByRole('button', { name: 'Give the new tag' }).click();
  await until(check, () => sheet.text(2, 'tag'), '018', 'she has the new tag');
  await toSheet(page, check, 'calves', 'Calves');
  await sheet.go(0, 'dam');
  await page.getByRole('button', { name: 'Open cow 018', exact: true }).waitFor();
  await undo(page);
  await page.getByRole('button', { name: 'Open cow 008', exact: true }).waitFor();
}, { viewport: { width: 1280, height: 900 } });
