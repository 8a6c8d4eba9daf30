// Everything doubtful in one place: mended by a step to its cell, or let stand and kept so.

import { journey } from '../harness.mjs';
import { atTheDoors, bringIn, goTo, until } from '../steps.mjs';

const HEADER = 'tag,sex,birth_date,birth_weight,dam,dam_age,sire,place,wean_date,wean_weight';
const ROWS = Array.from({ length: 8 }, (_, row) => [401 + row, 'steer', `2026-03-0${1 + row}`, 80, `C${row}`, 5, 'B1', 'North', '2026-10-01', row === 3 ? 1180 : 500 + row].join(','));

await journey('a problem is let stand, kept so, and taken up again', async ({ open, page, check, screenshot, axe }) => {
  await open('');
  await atTheDoors(page);
  await bringIn(page, 'barn.csv', `${HEADER}\n${ROWS.join('\n')}\n`);
  await page.getByRole('dialog').getByRole('button', { name: /^Bring in 8 rows/ }).click();
  await page.getByRole('heading', { name: 'Fair weights', exact: true }).waitFor();
  await goTo(page, 'problems');
  const heavy = page.locator('.problem-group', { hasText: 'A weaning weight no calf has' });
  await heavy.waitFor();
  if ((await heavy.getAttribute('open')) === null) await heavy.locator('summary').click();
  await axe('the problems');
  await screenshot('problems-1280');
  await heavy.getByRole('button', { name: /^Let it stand: .*404/ }).click();
  await page.getByRole('heading', { name: '1 problem you let stand' }).waitFor();
  await page.reload();
  await page.getByRole('heading', { name: '1 problem you let stand' }).waitFor();
  const stands = page.locator('.problem-group', { hasText: 'A weaning weight no calf has' });
  await stands.locator('summary').click();
  await screenshot('problems-accepted-1280');
  await page.setViewportSize({ width: 390, height: 844 });
  await screenshot('problems-390');
  await axe('the problems on a phone');
  await stands.getByRole('button', { name: /^Take it up again: .*404/ }).click();
  await until(check, () => page.getByRole('heading', { name: /you let stand/ }).count(), 0, 'it is a problem again');
});
