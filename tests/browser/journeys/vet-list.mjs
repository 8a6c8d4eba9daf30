// A veterinarian's list and a scale's: which sheet, which day and which letters are asked before anything comes in.

import { journey } from '../harness.mjs';
import { atTheDoors, bringIn, sheetOf, sideways, until } from '../steps.mjs';

const LIST = 'Herd check\nOct 28 2026\nCow #;Preg;Mos;Notes\n101;P;5;\n102;P 120;;bad foot\n103;short bred;;\n104;?;;\n';

await journey("a veterinarian's list without a day, as it is written", async ({ open, page, check, screenshot, axe }) => {
  await open('');
  await atTheDoors(page);
  await bringIn(page, 'list.csv', LIST);
  const dialog = page.getByRole('dialog');
  const asked = (text) => dialog.locator('fieldset.question').filter({ hasText: text });
  await asked('On which day were the 4 cows checked?').waitFor();
  check.match(await dialog.locator('.dialog-foot').innerText(), /Bring in 4 rows to (Pregnancy checks|Checks)/, 'no new calves');
  check.equal(await dialog.locator('fieldset.question input[type=radio]:checked').count(), 0, 'no answer is chosen beforehand');
  await axe('what a list without a day leaves open');
  await screenshot('vet-list-1280');
  await page.setViewportSize({ width: 390, height: 844 });
  check.equal(await sideways(page), 0, 'the page does not scroll sideways');
  await screenshot('vet-list-390');
  await page.setViewportSize({ width: 1280, height: 900 });
  // One right after the other, without waiting for the file to be read again.
  await page.evaluate(() => {
    const choose = (text, label) => {
      const box = [...document.querySelectorAll('fieldset.question')].find((one) => one.textContent.includes(text));
      [...box.querySelectorAll('label')].find((one) => one.textContent.includes(label)).querySelector('input').click();
    };
    choose('"p"', 'bred');
    choose('"short bred"', 'bred');
    choose('On which day', '2026-10-28');
  });
  await until(check, () => dialog.locator('.answered fieldset').count(), 3, 'all three answers are taken');
  await asked('bare number, like 120').getByLabel('Days bred').check();
  await dialog.getByRole('button', { name: /^Bring in 4 rows/ }).click();
  await until(check, () => dialog.count(), 0, 'it is in');
  const sheet = sheetOf(page);
  await sheet.go(1, 'stage');
  await until(check, () => sheet.text(1, 'stage'), '120', 'the stage beside the letter is kept');
  check.equal(await sheet.text(1, 'result'), 'bred');
  check.equal(await sheet.text(2, 'result'), 'bred', 'short bred is read as was said');
  check.equal(await sheet.text(1, 'date'), '2026-10-28');
  check.equal(await sheet.text(3, 'result'), '?', 'a question mark stays');
});

const WEIGHINGS = 'EID,VID,Date,Weight,Lot\n840003000000101,101,2026-10-14,512,3\n840003000000102,102,2026-10-14,498,3\n';

await journey('a list that fits two sheets is asked about first', async ({ open, page, check, screenshot, axe }) => {
  await open('');
  await atTheDoors(page);
  await bringIn(page, 'list.csv', WEIGHINGS);
  const dialog = page.getByRole('dialog');
  await dialog.getByText('Which sheet do they belong to?').waitFor();
  check.equal(await dialog.getByRole('button', { name: /^Bring in/ }).count(), 0, 'nothing brings it in');
  check.equal(await dialog.locator('input[type=radio]:checked').count(), 0, 'no sheet is chosen beforehand');
  await axe('which sheet a list is for');
  await screenshot('which-sheet-1280');
  await page.setViewportSize({ width: 390, height: 844 });
  check.equal(await sideways(page), 0, 'the page does not scroll sideways');
  await screenshot('which-sheet-390');
  await page.setViewportSize({ width: 1280, height: 900 });
  await dialog.getByRole('radio', { name: /^Weights/ }).check();
  await dialog.getByRole('button', { name: /^Bring in 2 rows to Weights/ }).click();
  await until(check, () => dialog.count(), 0, 'it is in');
});
