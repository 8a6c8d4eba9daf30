// axe finds nothing in any view, in any theme, wide and narrow.

import { journey } from '../harness.mjs';
import { bringIn, goTo, openSample, sheetOf, until } from '../steps.mjs';

const PLACES = ['start', 'fair', 'calves', 'groups', 'compare', 'trial', 'problems', 'hand-over', 'pad', 'versions', 'settings'];

for (const width of [1280, 390]) {
  await journey(`axe, ${width} px`, async ({ open, page, check, axe, screenshot }) => {
    await open('');
    await openSample(page);
    for (const theme of ['light', 'dark', 'sun']) {
      await page.evaluate((name) => { document.documentElement.dataset.theme = name; }, theme);
      for (const place of PLACES) {
        await goTo(page, place);
        if (place === 'compare') await page.locator('fp-compare .sentence').waitFor();
        if (place === 'hand-over') {
          await page.locator('fp-hand-over-rows tbody tr').first().waitFor({ state: 'attached' });
          await page.evaluate(() => { for (const fold of document.querySelectorAll('details.fold')) fold.open = true; });
        }
        await page.evaluate(() => new Promise((done) => { requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 120))); }));
        await axe(`${place}, ${theme}, ${width} px`);
        if (theme !== 'light' && width === 1280 && ['fair', 'compare', 'calves'].includes(place)) await screenshot(`${place}-${theme}-1280`);
      }
      await goTo(page, 'fair');
      const sheet = sheetOf(page);
      await until(check, () => sheet.text(0, 'tag'), (text) => Boolean(text), 'the sheet is filled');
      await sheet.go(0, 'adj_205_weight');
      await until(check, () => sheet.text(0, 'adj_205_weight'), (text) => Boolean(text), 'the weight is in sight');
      await page.keyboard.press('Enter');
      await page.locator('.drawer .result').waitFor();
      await axe(`the working, ${theme}, ${width} px`);
      await page.keyboard.press('Escape');
      await bringIn(page, 'more.csv', 'tag,sex,birth date,brand\n1,male,2026-02-30,left\n2,steer,2026-03-01,right\n');
      await page.getByRole('dialog').getByRole('heading', { name: /What was understood/ }).waitFor();
      await axe(`the import dialog, ${theme}, ${width} px`);
      await page.getByRole('dialog').getByRole('button', { name: 'Cancel' }).click();
      await until(check, () => page.locator('dialog[open]').count(), 0, 'the dialog is gone');
    }
  }, { viewport: { width, height: 800 } });
}
