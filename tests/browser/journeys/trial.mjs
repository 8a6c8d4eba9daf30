// She plans a fair trial: places, a draw by seed, lists to print and to save; and asks what her records could have shown.

import { readFile } from 'node:fs/promises';
import { journey } from '../harness.mjs';
import { goTo, openSample, until } from '../steps.mjs';

await journey('a fair trial planned', async ({ open, page, check, axe, screenshot }) => {
  await open('');
  await openSample(page);
  await goTo(page, 'compare/management');
  await page.locator('#like-with-like').waitFor();
  check.ok(/have a partner alike in season, sex/.test(await page.locator('[aria-labelledby=like-with-like]').first().innerText()), 'calves are matched');

  // A difference of her own.
  const seen = page.locator('fp-could-see table').first().locator('tbody tr');
  check.equal(await seen.count(), 3, 'three usual differences');
  await page.locator('fp-could-see input').fill('15');
  await page.locator('fp-could-see form button').click();
  await until(check, () => seen.count(), 4, 'the one she typed');
  const row = await seen.nth(3).innerText();
  check.ok(/^15 lb\s+\d+ in 100\s+about \d+ calves$/.test(row), row);
  const places = await page.locator('fp-could-see table').nth(1).innerText();
  check.ok(/15 lb\s+\d+ in 100\s+about \d+ places/.test(places), places);
  await page.locator('fp-could-see input').fill('much');
  await page.locator('fp-could-see form button').click();
  await page.locator('fp-could-see [role=alert]').waitFor();

  await page.getByRole('link', { name: 'Plan a fair trial' }).click();
  await page.getByRole('heading', { name: 'Plan a fair trial' }).waitFor();
  const place = (number) => page.getByLabel(`Place ${number}`, { exact: true });
  await place(1).fill('Pen 1');
  await page.getByRole('button', { name: 'Draw', exact: true }).click();
  check.ok(/two places or more/.test(await page.locator('fp-trial [role=alert]').innerText()), 'one place is no trial');

  await place(2).fill('Hill pasture');
  await page.getByRole('button', { name: 'Add a place' }).click();
  await place(3).fill('Creek pasture');
  await page.getByLabel('Head, or blank').first().fill('40');
  await page.getByLabel('Seed').fill('7');
  await page.getByRole('button', { name: 'Draw', exact: true }).click();
  await page.locator('fp-trial .trial-list').nth(2).waitFor();
  const lists = async () => (await page.locator('fp-trial .trial-list tbody th').allInnerTexts()).join(' ');
  const first = await lists();
  const tags = first.split(' ');
  check.equal(new Set(tags).size, tags.length, 'every cow once');
  check.equal(await page.locator('fp-trial .trial-list').first().locator('tbody tr').count(), 40, 'forty head in the first');
  check.ok((await page.locator('[aria-labelledby=trial-balance] tbody tr').count()) >= 3, 'the balance before and after');
  check.ok((await page.locator('fp-trial .cautions li').count()) >= 2, 'what to mind');
  await axe('the lists drawn');
  await screenshot('trial-1280');

  // The same seed gives the same lists, another seed others.
  await page.getByLabel('Seed').fill('8');
  await page.getByRole('button', { name: 'Draw', exact: true }).click();
  await until(check, lists, (now) => now !== first, 'another seed, other lists');
  await page.getByLabel('Seed').fill('7');
  await page.getByRole('button', { name: 'Draw', exact: true }).click();
  await until(check, lists, first, 'the same seed, the same lists');

  const download = page.waitForEvent('download');
  await page.getByRole('button', { name: /Save the lists/ }).click();
  const text = await readFile(await (await download).path(), 'utf8');
  check.equal(text.split('\n')[0], 'place,cow,eid,age_class,bulls,expected_calving,expected_from,now_in');
  check.equal(text.trim().split('\n').length, tags.length + 1, 'a line for each cow');

  await page.setViewportSize({ width: 390, height: 844 });
  check.equal(await page.evaluate(() => document.documentElement.scrollWidth), 390, 'nothing runs out of a phone');
  await screenshot('trial-390');
});
