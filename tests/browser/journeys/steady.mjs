// Nothing jumps: no layout shift after the first paint, in any place, on a first visit and on coming back.

import { journey } from '../harness.mjs';
import { openSample } from '../steps.mjs';

/** Google's "good" is 0.1; here a twentieth of that is allowed, for rounding of fractions of a pixel. */
const MOST = 0.005;

for (const [width, height] of [[1280, 800], [390, 844]]) {
  await journey(`nothing jumps, ${width} px`, async ({ open, page, check }) => {
    await page.addInitScript(() => {
      globalThis.shifts = [];
      new PerformanceObserver((list) => {
        for (const entry of list.getEntries()) {
          if (!entry.hadRecentInput) globalThis.shifts.push([entry.value, entry.sources.map((source) => source.node?.nodeName + '.' + source.node?.className).join(' ')]);
        }
      }).observe({ type: 'layout-shift', buffered: true });
    });
    const shifted = async (where) => {
      await page.evaluate(() => new Promise((done) => setTimeout(done, 600)));
      const found = await page.evaluate(() => globalThis.shifts);
      check.ok(found.reduce((sum, [value]) => sum + value, 0) <= MOST, `${where}: ${JSON.stringify(found)}`);
    };
    await open('');
    await shifted('the first screen');
    await openSample(page);
    await shifted('the sample');
    for (const place of ['fair', 'calves', 'groups', 'compare', 'hand-over', 'problems', 'pad', 'versions', 'settings']) {
      await page.goto('about:blank');
      await open(`#${place}`);
      await page.locator('h1').first().waitFor();
      await shifted(`coming back to ${place}`);
    }
  }, { viewport: { width, height } });
}
