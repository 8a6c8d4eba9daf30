// A second file for a book that has rows: what is new, what differs, what is not clear, shown before anything changes.

import { journey } from '../harness.mjs';
import { atTheDoors, bringIn, goTo, until } from '../steps.mjs';

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
