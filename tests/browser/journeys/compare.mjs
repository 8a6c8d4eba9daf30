// She compares: one honest sentence, its picture, its tables; the work can be stopped and says when it is old.

import { journey } from '../harness.mjs';
import { goTo, openSample, sheetOf, until } from '../steps.mjs';

await journey('two places compared', async ({ open, page, check, screenshot }) => {
  await open('');
  await openSample(page);
  await goTo(page, 'compare/place');
  await page.locator('fp-compare .sentence').waitFor();
  const boxes = page.locator('.levels input');
  for (let index = 2; index < (await boxes.count()); index += 1) await boxes.nth(index).uncheck();
  await page.locator('.compare-form button.primary').click();
  await until(check, () => page.locator('[aria-labelledby=levels-table] tbody tr').count(), 2, 'two levels stand in the table');
  const sentence = await page.locator('fp-compare .sentence').innerText();
  check.ok(sentence.length > 30, sentence);
  check.ok((await page.locator('fp-compare fp-figure svg').count()) >= 3, 'steps, levels and balance are drawn');
  check.ok((await page.locator('.cautions li').count()) >= 1, 'one place against one place is cautioned');
  const steps = page.locator('fp-figure').first();
  await steps.getByRole('button', { name: 'Show as table' }).click();
  check.ok((await steps.locator('tbody tr').count()) >= 2, 'the steps from raw to fair');
  const last = await steps.locator('tbody tr').last().locator('td').first().innerText();
  const pair = await page.locator('[aria-labelledby=pairs-table] tbody tr').first().locator('td').first().innerText();
  check.equal(last, pair, 'the last step is the difference of the table');
  await steps.getByRole('button', { name: 'Show as picture' }).click();
  await screenshot('compare-places-1280');

  // Held equal on request: the sentence says so.
  await page.locator('.hold label', { hasText: 'Sire' }).locator('input').check();
  await page.locator('.compare-form button.primary').click();
  await until(check, () => page.locator('fp-compare .sentence').innerText(), (text) => /Held equal: .*sire/.test(text), 'the sire is held equal');

  // The book moves on: the answer says that it is old.
  await goTo(page, 'calves');
  const sheet = sheetOf(page);
  await until(check, () => sheet.text(0, 'tag'), (text) => Boolean(text), 'the sheet is filled');
  await sheet.go(0, 'note');
  await page.keyboard.type('seen');
  await page.keyboard.press('Enter');
  await until(check, () => page.locator('.saved').innerText(), (text) => /Saved here/.test(text), 'it is saved');
});
