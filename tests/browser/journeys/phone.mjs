// On a phone, and from 360 to 2,560 px: everything is reached, nothing scrolls sideways.

import { journey } from '../harness.mjs';
import { goTo, openSample, sideways } from '../steps.mjs';

const PLACES = ['fair', 'calves', 'groups', 'compare', 'problems', 'hand-over', 'pad', 'versions', 'settings', 'start'];

const settled = (page) => page.evaluate(() => new Promise((done) => { requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 150))); }));

await journey('the phone layout', async ({ open, page, check, screenshot }) => {
  await open('');
  await screenshot('start-390');
  await openSample(page);
  await page.getByRole('navigation', { name: 'Main places' }).getByRole('link', { name: 'Calves' }).tap();
  await page.getByRole('heading', { name: 'Calves', exact: true }).waitFor();
  await page.getByRole('button', { name: 'More' }).tap();
  await page.getByRole('dialog', { name: 'All places' }).getByRole('link', { name: 'Groups' }).tap();
  await page.getByRole('heading', { name: 'Groups', exact: true }).waitFor();
  check.equal(await page.locator('dialog[open]').count(), 0, 'the list of places is out of the way again');
  for (const place of PLACES) {
    await goTo(page, place);
    await settled(page);
    if (place === 'compare') await page.locator('fp-compare .sentence').waitFor();
    check.ok((await sideways(page)) <= 0, `${place} does not scroll sideways`);
    await screenshot(`${place}-390`);
    const small = await page.evaluate(() => [...document.querySelectorAll('.phone-bar a, .phone-bar button, .act, .primary')]
      .filter((one) => one.getClientRects().length > 0 && one.getBoundingClientRect().height < 43).map((one) => one.outerHTML.slice(0, 80)));
    check.deepEqual(small, [], 'what is tapped is at least 44 px high');
  }
}, { viewport: { width: 390, height: 844 }, context: { hasTouch: true, isMobile: true } });

await journey('from 360 to 2,560 px', async ({ open, page, check, screenshot }) => {
  await open('');
  await openSample(page);
  for (const width of [360, 640, 900, 1920, 2560]) {
    await page.setViewportSize({ width, height: width < 700 ? 780 : 1080 });
    for (const place of PLACES) {
      await goTo(page, place);
      await settled(page);
      if (place === 'compare') await page.locator('fp-compare .sentence').waitFor();
      check.ok((await sideways(page)) <= 0, `${place} at ${width} px does not scroll sideways`);
      if (width === 1920) await screenshot(`${place}-1920`);
    }
  }
});
