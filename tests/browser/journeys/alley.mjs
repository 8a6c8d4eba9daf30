// A phone in the alley: find by the last digits, weigh, be asked once about the unlikely and about what would be replaced,
// keep what is not on record, take back, hand the entries on.

import { readFileSync } from 'node:fs';
import { journey } from '../harness.mjs';
import { atTheDoors, bringIn, goTo, sheetOf, sideways, until } from '../steps.mjs';

const HEADER = 'tag,sex,birth_date,birth_weight,dam,dam_age,sire,place';
const ROWS = Array.from({ length: 30 }, (_, row) => [401 + row, row % 2 ? 'steer' : 'heifer', `2026-03-${String(1 + row % 28).padStart(2, '0')}`, 80, `C${row}`, 5, 'B1', row % 3 ? 'North' : 'Creek'].join(','));

async function inTheAlley({ open, page }) {
  await page.setViewportSize({ width: 390, height: 844 });
  await open('');
  await atTheDoors(page);
  await bringIn(page, 'barn.csv', `${HEADER}\n${ROWS.join('\n')}\n`);
  await page.getByRole('dialog').getByRole('button', { name: /^Bring in 30 rows/ }).click();
  await page.getByRole('heading', { name: 'Fair weights', exact: true }).waitFor();
  await page.getByRole('navigation', { name: 'Main places' }).getByRole('link', { name: 'Alley' }).click();
  await page.getByRole('heading', { name: 'In the alley' }).waitFor();
  await page.locator('input[name=day]').fill('2026-10-01');
}

await journey('weights in the alley, each in three taps', async (given) => {
  const { page, context, check, screenshot, axe } = given;
  await inTheAlley(given);
  await context.setOffline(true);
  await axe('the alley');
  const find = page.getByLabel('Tag, or its last digits');
  // Every tap on the page is counted: the search, the animal, done. Digits are keys, not taps.
  await page.evaluate(() => {
    globalThis.taps = 0;
    addEventListener('pointerdown', () => { globalThis.taps += 1; }, true);
  });
  await find.click();
  await page.keyboard.type('17');
  await page.getByRole('button', { name: /^417 / }).waitFor();
  await screenshot('alley-found-390');
  await page.getByRole('button', { name: /^417 / }).click();
  await until(check, () => page.getByRole('textbox', { name: /^Weight/ }).evaluate((field) => field === document.activeElement), true, 'the weight can be typed at once');
  await page.keyboard.type('512');
  await axe('the weight');
  await screenshot('alley-weight-390');
  await page.getByRole('button', { name: 'Done' }).click();
  await page.getByText('417: 512 is entered.').waitFor();
  check.equal(await page.evaluate(() => globalThis.taps), 3, 'a weight takes three taps');
  await until(check, () => find.evaluate((field) => field === document.activeElement), true, 'the next animal can be typed at once');
  check.equal(await sideways(page), 0, 'the page does not scroll sideways');

  // Unlikely: asked once, mended.
  await find.fill('402');
  await page.keyboard.press('Enter');
  await page.getByRole('textbox', { name: /^Weight/ }).fill('5010');
  await page.keyboard.press('Enter');
  await page.getByRole('heading', { name: 'Is this right?' }).waitFor();
  await screenshot('alley-asked-390');
  await axe('the question');
  await page.getByRole('button', { name: 'Change it' }).click();
  await until(check, () => page.getByRole('textbox', { name: /^Weight/ }).inputValue(), '5010', 'what was typed is still there');
  await page.getByRole('textbox', { name: /^Weight/ }).fill('501');
  await page.getByRole('button', { name: 'Done' }).click();
  await page.getByRole('heading', { name: '2 entries for this day' }).waitFor();
  await screenshot('alley-day-390');

  // Written already: asked once, and it may be.
  await find.fill('417');
  await page.keyboard.press('Enter');
  await page.getByText('Already written: 512 lb on 2026-10-01').waitFor();
  await page.getByRole('textbox', { name: /^Weight/ }).fill('521');
  await page.getByRole('button', { name: 'Done' }).click();
  await page.getByRole('heading', { name: 'Replace the weight on record?' }).waitFor();
  check.match(await page.locator('.pad-ask').innerText(), /Calf 417 \(heifer, born 2026-03-17, dam C16, North\) has a weaning weight of 512 lb of 2026-10-01 already\. 521 lb of 2026-10-01 would replace it\./);
  check.equal(await page.getByRole('button', { name: /another weighing/ }).count(), 0, 'on the same day there is nothing to keep');
  await page.getByRole('button', { name: 'Yes, replace 512 lb of 2026-10-01 by 521 lb' }).click();
  await page.getByText('417: 521 is entered.').waitFor();

  await page.getByRole('button', { name: /^Take back 402/ }).click();
  await page.getByRole('heading', { name: '1 entry for this day' }).waitFor();
  await page.getByRole('button', { name: /^Undo/ }).click();
  await page.getByRole('heading', { name: '2 entries for this day' }).waitFor();

  // Weighed anew on another day: both are kept.
  await page.locator('input[name=day]').fill('2026-11-20');
  await find.fill('417');
  await page.keyboard.press('Enter');
  await page.getByRole('textbox', { name: /^Weight/ }).fill('590');
  await page.getByRole('button', { name: 'Done' }).click();
  await page.getByRole('button', { name: 'Keep both: 590 lb as another weighing' }).waitFor();
  await axe('a weight that would be replaced');
  await screenshot('alley-replace-390');
  await page.getByRole('button', { name: 'No', exact: true }).click();
  await until(check, () => page.getByRole('textbox', { name: /^Weight/ }).inputValue(), '590', 'what was typed is still there after No');
  await page.getByRole('button', { name: 'Done' }).click();
  await page.getByRole('button', { name: 'Keep both: 590 lb as another weighing' }).click();
  await page.getByText('417: 590 is entered as another weighing; the weight on record stays.').waitFor();
  await page.getByText('1 other weighing for this day.').waitFor();

  // Nobody here has this tag: kept all the same, and marked.
  await find.fill('888');
  await page.getByText('No animal here has these digits.').waitFor();
  await axe('a tag that is not on record');
  await screenshot('alley-unknown-390');
  await page.getByRole('button', { name: 'Enter "888" all the same' }).click();
  await page.getByRole('textbox', { name: /^Weight/ }).fill('505');
  await page.getByRole('button', { name: 'Done' }).click();
  await page.getByText('888: 505 is entered, marked as not on record.').waitFor();
  check.match(await page.locator('.pad-done').innerText(), /888 505 lb, not on record/);
  await page.locator('input[name=day]').fill('2026-10-01');

  // What the laptop gets, and what stays here.
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: "Save this day's entries as a file" }).click()]);
  const text = readFileSync(await download.path(), 'utf8');
  check.match(text, /^tag,eid,sex,birth_date,dam,wean_date,weigh_date,wean_weight \(lb\)\n/);
  check.match(text, /417,,heifer,2026-03-17,C16,2026-10-01,,521/);
  await context.setOffline(false);
  await page.reload();
  await page.getByRole('heading', { name: 'In the alley' }).waitFor();
  await page.locator('input[name=day]').fill('2026-10-01');
  await page.getByRole('heading', { name: '2 entries for this day' }).waitFor();
});

await journey('calvings and pregnancy checks on the same pad', async (given) => {
  const { page, check, screenshot, axe } = given;
  await inTheAlley(given);
  await page.locator('select[name=task]').selectOption('calving');
  await page.getByLabel("Calf's tag").fill('501');
  await page.getByLabel('Dam', { exact: true }).fill('C99');
  await page.getByRole('radio', { name: 'Heifer' }).check();
  await page.getByLabel('Birth weight').fill('78');
  await axe('calving');
  await screenshot('alley-calving-390');
  await page.getByRole('button', { name: 'Done' }).click();
  await page.getByText('Calf 501 is entered.').waitFor();
  check.match(await page.locator('.pad-done').innerText(), /501 heifer, dam C99, 78/);

  // The tag is used again: the animals are named, not the lines of a file.
  await page.getByLabel("Calf's tag").fill('417');
  await page.getByRole('radio', { name: 'Bull' }).check();
  await page.locator('input[name=day]').fill('2026-04-02');
  await page.getByRole('button', { name: 'Done' }).click();
  await page.getByRole('heading', { name: 'Is this right?' }).waitFor();
  const twice = await page.locator('.pad-ask').innerText();
  check.match(twice, /The tag is on record already: 417 \(heifer, born 2026-03-17, dam C16, North\)\. This one: born 2026-04-02, bull\./);
  check.doesNotMatch(twice, /line \d+ of the file/);
  await screenshot('alley-tag-again-390');
  await page.getByRole('button', { name: 'Change it' }).click();

  await page.locator('select[name=task]').selectOption('pregnancy');
  await page.getByLabel('Tag, or its last digits').fill('C3');
  await page.getByRole('button', { name: /^C3 / }).click();
  await page.getByRole('radio', { name: 'Open', exact: true }).check();
  await page.getByLabel('Stage, as it was called').fill('early');
  await page.getByRole('button', { name: 'Done' }).click();
  await page.getByText(/C3 is open, with the stage "early"/).waitFor();
  await page.getByRole('button', { name: 'Change it' }).click();
  await page.getByRole('radio', { name: 'Recheck' }).check();
  await axe('a pregnancy check');
  await screenshot('alley-check-390');
  await page.getByRole('button', { name: 'Done' }).click();
  await page.getByText('C3: recheck is entered.').waitFor();
  await goTo(page, 'checks');
  await until(check, () => page.locator('fp-grid').innerText(), (text) => /recheck/.test(text) && /early/.test(text), 'it stands on the sheet of checks');
});

await journey('a work list goes out and opens as a book of its own, in the alley', async (given) => {
  const { page, check, screenshot, axe } = given;
  await inTheAlley(given);
  await page.getByText('Work lists between devices').click();
  check.match(await page.locator('.pad-list select').innerText(), /Creek \(10\)/, 'as many as the list holds');
  await page.locator('.pad-list select').selectOption('Creek');
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save a work list' }).click()]);
  const bytes = readFileSync(await download.path());
  await bringIn(page, 'work-list-creek.zip', bytes);
  await until(check, () => page.locator('fp-top-line').innerText(), (text) => /Work list: Creek/.test(text), 'it opens under its own name');
  await page.getByRole('heading', { name: 'In the alley' }).waitFor();
  const find = page.getByLabel('Tag, or its last digits');
  await find.fill('4');
  await until(check, () => page.locator('.pad-animals li').count(), 8, 'the first that fit are offered');
  check.equal(await page.getByRole('heading', { name: 'Not on this list' }).count(), 0, 'all of them are on the list');
  // One that strayed from another place is known, and offered apart.
  await find.fill('402');
  await page.getByRole('heading', { name: 'Not on this list' }).waitFor();
  await axe('an animal that is not on the list');
  await screenshot('alley-strayed-390');
  await page.getByRole('list', { name: 'Not on this list' }).getByRole('button', { name: /^402 .*North/ }).click();
  await page.getByRole('textbox', { name: /^Weight/ }).fill('498');
  await page.getByRole('button', { name: 'Done' }).click();
  await page.getByText('402: 498 is entered.').waitFor();
});

const REWEIGHED = 'tag,eid,sex,birth_date,dam,wean_date,weigh_date,wean_weight (lb)\n417,,heifer,2026-03-17,C16,2026-10-01,2026-11-20,519\n402,,steer,2026-03-02,C1,2026-11-20,,498\n';

await journey("a day's file never gives an old weight a new day", async (given) => {
  const { page, check, screenshot, axe } = given;
  await inTheAlley(given);
  const find = page.getByLabel('Tag, or its last digits');
  await find.fill('417');
  await page.keyboard.press('Enter');
  await page.getByRole('textbox', { name: /^Weight/ }).fill('455');
  await page.getByRole('button', { name: 'Done' }).click();
  await page.getByText('417: 455 is entered.').waitFor();

  await bringIn(page, 'weaning 2026-11-20.csv', REWEIGHED);
  const dialog = page.getByRole('dialog');
  await dialog.getByRole('heading', { name: 'Beside what is in the book' }).waitFor();
  const row = dialog.locator('fp-merging').getByRole('row').filter({ hasText: '417' });
  check.match(await row.innerText(), /417\s+line 2[^]*Weighed 2026-11-20 \(book: 2026-10-01\)\s+Weaning weight 519 \(book: 455\)/, 'weight and day are shown together, by tag');
  await axe('a weight and its day beside the record');
  await screenshot('alley-brought-in-390');
  await page.setViewportSize({ width: 1280, height: 900 });
  await screenshot('alley-brought-in-1280');
  await dialog.getByRole('button', { name: /^Bring in to Calves: 0 new rows, 1 changed row/ }).click();
  await until(check, () => dialog.count(), 0, 'it is in');
  await goTo(page, 'calves');
  const sheet = sheetOf(page);
  await sheet.go(16, 'wean_weight');
  await until(check, () => sheet.text(16, 'wean_weight'), '455', 'the weight on record is kept');
  await sheet.go(1, 'wean_weight');
  await until(check, () => sheet.text(1, 'wean_weight'), '498', 'the other calf got its weight');
  await goTo(page, 'pad');
  await find.fill('417');
  await page.keyboard.press('Enter');
  await page.getByText('Already written: 455 lb on 2026-10-01').waitFor();
});
