// The whole job with the keyboard alone: sample, a place, the sheet, the working, find, and back.

import { journey } from '../harness.mjs';
import { atTheDoors, sheetOf, until } from '../steps.mjs';

/** Presses Tab until the focus is on something with this name. */
async function tabTo(page, check, name, way = 'Tab', most = 120) {
  for (let step = 0; step < most; step += 1) {
    // The sheet keeps Tab for moving right; Escape first lets it go on.
    if (await page.evaluate(() => document.activeElement?.getAttribute('role') === 'grid')) await page.keyboard.press('Escape');
    await page.keyboard.press(way);
    const found = await page.evaluate(() => {
      const element = document.activeElement;
      return element === null ? '' : element.getAttribute('aria-label') ?? element.textContent?.trim() ?? '';
    });
    if (name.test(found)) return found;
  }
  return check.fail(`Tab never reached ${name}`);
}

await journey('the job by keyboard alone', async ({ open, page, check }) => {
  await open('');
  await atTheDoors(page);
  await tabTo(page, check, /^Open "Two barns"/);
  await page.keyboard.press('Enter');
  await page.locator('fp-figure svg').first().waitFor();
  await tabTo(page, check, /^Calves/, 'Shift+Tab');
  await page.keyboard.press('Enter');
  await page.getByRole('heading', { name: 'Calves', exact: true }).waitFor();
  const sheet = sheetOf(page);
  await until(check, () => sheet.text(0, 'tag'), (text) => Boolean(text), 'the sheet is filled');
  await tabTo(page, check, /^Calves$/);
  check.equal(await page.evaluate(() => document.activeElement.getAttribute('role')), 'grid', 'the sheet has the keyboard');
  await page.keyboard.press('Control+Home');
  await page.keyboard.press('ArrowDown');
  await until(check, sheet.activeName, (name) => /^row 2, /.test(name ?? ''), 'the cell has a name for a screen reader');

  await page.keyboard.press('Control+f');
  await until(check, () => page.evaluate(() => document.activeElement?.id), 'find', 'the find box has the keyboard');
  const tag = await sheet.text(6, 'tag');
  await page.keyboard.type(tag);
  // Digits of a tag may stand in an electronic tag too; Enter goes from row to row.
  for (let press = 0; press < 12; press += 1) {
    const before = await page.locator('.find [role=status]').innerText();
    await page.keyboard.press('Enter');
    await until(check, () => page.locator('.find [role=status]').innerText(), (text) => text !== before, 'the next row is found');
    if (/^Row 7\b/.test(await page.locator('.find [role=status]').innerText())) break;
  }
  await until(check, sheet.activeName, (name) => (name ?? '').includes(tag), 'the tag is found');
  await page.keyboard.press('Escape');
  await until(check, () => page.evaluate(() => document.activeElement?.getAttribute('role')), 'grid', 'the keyboard is back on the sheet');

  // The skip link comes first and leads to the content.
  await page.evaluate(() => document.activeElement?.blur());
  await page.keyboard.press('Home');
  await page.reload();
  await page.getByRole('heading', { name: 'Calves', exact: true }).waitFor();
  await page.keyboard.press('Tab');
  check.equal(await page.evaluate(() => document.activeElement?.textContent), 'Skip to the content');
  await page.keyboard.press('Enter');
  check.equal(await page.evaluate(() => document.activeElement?.id), 'main');
});
