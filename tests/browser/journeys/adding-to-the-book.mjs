// A second file for a book that has rows: what is new, what differs, what is not clear, shown before anything changes.

import { journey } from '../harness.mjs';
import { atTheDoors, bringIn, goTo, sheetOf, until } from '../steps.mjs';

const HEADER = 'tag,sex,birth_date,birth_weight,dam,dam_age,sire,place';
const ROWS = Array.from({ length: 12 }, (_, row) => [401 + row, row % 2 ? 'steer' : 'heifer', `2026-03-${String(1 + row).padStart(2, '0')}`, 80, `C${row}`, 5, 'B1', 'North'].join(','));
const SCALE = ['tag,birth_date,birth_weight,wean_date,wean_weight',
  '401,2026-03-01,80,2026-10-01,512', '402,2026-03-02,84,2026-10-01,530', '403,2026-03-03,80,2026-10-01,498', '499,2026-03-20,75,2026-10-01,470', ''].join('\n');

await journey('a scale file lands on the calves that are there', async ({ open, page, check, screenshot, axe }) => {
  await open('');
  await atTheDoors(page);
  await bringIn(page, 'calves.csv', `${HEADER}\n${ROWS.join('\n')}\n`);
  const dialog = page.getByRole('dialog');
  await dialog.getByRole('button', { name: /^Bring in 12 rows/ }).click();
  await page.getByRole('heading', { name: 'Fair weights', exact: true }).waitFor();

  await bringIn(page, 'calves from the scale.csv', SCALE);
  await dialog.getByRole('heading', { name: 'Beside what is in the book' }).waitFor();
  check.match(await dialog.locator('fp-merging').innerText(), /Say something else than the book\s+1[^]*84 lb|84/, 'the birth weight that differs is shown beside the book');
  await axe('what is new and what differs');
  await screenshot('adding-1280');
  await dialog.getByRole('checkbox', { name: 'New rows come in' }).uncheck();
  await dialog.getByRole('button', { name: /^Bring in to Calves: 0 new rows, 3 changed rows/ }).click();
  await until(check, () => dialog.count(), 0, 'it is in');
  await goTo(page, 'calves');
  await until(check, () => page.locator('.sheet-head').innerText(), (text) => /\b12 rows/.test(text), 'no row was added');
  await until(check, () => page.locator('fp-grid').innerText(), (text) => /512/.test(text), 'the weights stand with the calves');
  await page.getByRole('button', { name: /^Undo/ }).click();
  await until(check, () => page.locator('fp-grid').innerText(), (text) => !/512/.test(text), 'one undo takes the file back');
});

const MAY = 'EID,VID,Wt,Date,Gate\n840003000000001,401,512,4/5/2026,2\n840003000000002,402,530,4/5/2026,2\n';
const JUNE = 'EID,VID,Wt,Date\n840003000000001,401,590,4/6/2026\n840003000000002,402,610,4/6/2026\n';

await journey('a file like an earlier one is read as that one was', async ({ open, page, check, screenshot, axe }) => {
  await open('');
  await atTheDoors(page);
  await bringIn(page, 'weights may.csv', MAY);
  const dialog = page.getByRole('dialog');
  await dialog.getByLabel('The day comes first').check();
  await dialog.locator('select[aria-label=\'Where "Gate" goes\']').selectOption('leave_out');
  await until(check, () => dialog.locator('.dialog-foot').innerText(), (text) => /next file with these headers is then read the same way/.test(text), 'it says that it will be remembered');
  await dialog.getByRole('button', { name: /^Bring in 2 rows/ }).click();
  await until(check, () => dialog.count(), 0, 'it is in');

  await bringIn(page, 'weights june.csv', JUNE);
  const recalled = dialog.getByRole('region', { name: 'Read as before' });
  await recalled.waitFor();
  check.match(await recalled.innerText(), /Read as you read "weights may.csv" on [^]*There is no column "Gate" now/);
  check.equal(await dialog.getByLabel('The day comes first').isChecked(), true, 'the answer is there');
  await axe('a file read as before');
  await screenshot('read-as-before-1280');
  await page.setViewportSize({ width: 390, height: 844 });
  await screenshot('read-as-before-390');
  await page.setViewportSize({ width: 1280, height: 900 });
  await recalled.getByRole('button', { name: 'Read it anew' }).click();
  await until(check, () => recalled.count(), 0, 'it is looked at anew');
  check.equal(await dialog.getByLabel('The month comes first').isChecked(), true, 'as if it were the first');
  await dialog.getByRole('button', { name: 'Cancel' }).click();

  await goTo(page, 'settings');
  const list = page.locator('.remembered-files');
  await list.locator('summary').click();
  check.match(await list.innerText(), /"Gate" is left out\.[^]*In dates the day comes first\./);
  await axe('the files that are remembered');
  await screenshot('remembered-files-1280');
  await list.getByRole('button', { name: /^Forget/ }).click();
  await until(check, () => list.count(), 0, 'it is forgotten');
  await page.getByRole('button', { name: /^Undo/ }).click();
  await until(check, () => list.locator('li').count(), (n) => n > 0, 'one undo brings it back');
});

const CHECKS = 'Cow,Check date,Preg status,Days bred,Remarks\n101,2025-11-03,P,120,\n102,2025-11-03,P,90,foot\n103,2025-11-03,O,,cull\n104,2025-11-03,,,ran off\n104,2025-11-03,bred,100,second look\n';

await journey("the veterinarian's list is asked about and never guessed", async ({ open, page, check, screenshot, axe }) => {
  await open('');
  await atTheDoors(page);
  await bringIn(page, 'preg check.csv', CHECKS);
  const dialog = page.getByRole('dialog');
  const asked = (text) => dialog.locator('fieldset.question').filter({ hasText: text });
  await asked('2 cells of "Preg status" say "p"').waitFor();
  await axe('what a list of pregnancy checks leaves open');
  await screenshot('pregnancy-list-1280');
  await asked('say "p"').getByLabel('bred', { exact: true }).check();
  await until(check, () => dialog.locator('.answered').count(), 1, 'the first answer is taken');
  await asked('says "o"').getByLabel('open', { exact: true }).check();
  await until(check, () => dialog.locator('.answered fieldset').count(), 2, 'the second answer is taken');
  await asked('name the same animal and day').getByLabel('The last of each').check();
  await dialog.getByRole('button', { name: /^Bring in 4 rows to Pregnancy checks|^Bring in 4 rows to Checks/ }).click();
  await until(check, () => dialog.count(), 0, 'it is in');
  const sheet = sheetOf(page);
  await sheet.go(0, 'due_from');
  await until(check, () => sheet.text(0, 'due_from'), '2026-04-15', 'the day she is due follows from the stage');
  check.equal(await sheet.text(1, 'days_bred_to'), '90');
  check.equal(await sheet.text(2, 'due_from'), '', 'an open cow is not due');
  await page.keyboard.press('Enter');
  await until(check, () => page.locator('fp-working').innerText(), (text) => /Due from of 101[^]*The stage says 120 days/.test(text), 'and shows how it was made');
  await screenshot('pregnancy-sheet-1280');
});
