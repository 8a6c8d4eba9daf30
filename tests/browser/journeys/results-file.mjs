// The results file: opened from disk, it checks itself, sorts, shows workings, fits a phone, reads without
// scripts, and says loudly what was changed.

import { statSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync, gzipSync } from 'node:zlib';

import { journey } from '../harness.mjs';
import { handOver } from '../hand-over.mjs';

const compare = { column: 'place', levels: ['Pen 1', 'Hill pasture'], seasons: [], hold: [] };

await journey('a results file of the two barns, opened from disk', async ({ page, context, check, axe, screenshot, temporary }) => {
  const path = join(temporary, 'two-barns.html');
  const { preview, address } = await handOver(path, { request: { compare, message: 'Weaned at home. <b>Come and see</b> =1+1 \u202e' } });
  check.ok(statSync(path).size < 1_000_000, `${statSync(path).size} bytes`);

  const requests = [];
  context.on('request', (request) => requests.push(request.url()));
  await page.goto(address);
  await page.locator('html[data-checked]').waitFor();
  check.deepEqual(requests.filter((url) => url !== address && !url.startsWith('blob:')), [], 'nothing is asked for');

  const status = await page.locator('#engine').innerText();
  check.match(status, /did [\d,]+ figures again just now, and they agree/);
  const legend = await page.locator('.legend').innerText();
  check.ok(legend.includes(`${preview.recomputed.toLocaleString('en-US')} recomputed here`), `${legend} against the preview`);
  check.ok(legend.includes(`${preview.stated.toLocaleString('en-US')} stated only`));
  check.match(await page.locator('#comparison .sentence').innerText(), /calves in Pen 1/);
  // The bulls, which the model holds as random, stay home: the reader cannot do the comparison again, and is told.
  check.match(await page.locator('#comparison-mark').innerText(), /stated only\. What it rests on stays home/);
  check.equal(await page.locator('.message b').count(), 0, 'markup in the message is text');
  check.match(await page.locator('#cautions').innerText(), /No treatments entered/);
  check.match(await page.locator('#digest-inputs').innerText(), /^[0-9a-f]{64}$/);
  await axe('results file');
  await screenshot('results-file-strange-message-1280');

  const at = (key) => page.locator(`#calf-table thead th[data-key="${key}"]`).evaluate((head) => head.cellIndex);
  const texts = async (column) =>
    page.locator('#calf-table tbody tr').evaluateAll((rows, index) => rows.map((row) => parseFloat(row.cells[index].textContent)), column);
  const ratio = await at('ratio');
  await page.locator('#calf-table thead th[data-key="ratio"]').click();
  const sorted = await texts(ratio);
  const known = sorted.filter((number) => !Number.isNaN(number));
  check.ok(known.length > 100);
  check.deepEqual(known, known.toSorted((one, other) => other - one), 'largest first');
  check.ok(sorted.slice(known.length).every(Number.isNaN), 'missing last');

  // By keyboard alone: from the heading down to a figure, its working, and back.
  await page.locator('#calf-table thead th[data-key="ratio"]').focus();
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('Enter');
  const drawer = page.getByRole('dialog');
  await drawer.waitFor();
  check.match(await drawer.innerText(), /Ratio of \d+[\s\S]*recomputed here[\s\S]*100 x/i);
  await axe('working drawer');
  await screenshot('results-file-working');
  await page.keyboard.press('Escape');
  check.equal(await page.evaluate(() => document.activeElement?.closest('tr')?.sectionRowIndex), 0, 'focus is back on the figure');
  await page.locator('#group-table button').first().click();
  check.match(await drawer.innerText(), /Mean of the group/);
  await drawer.getByRole('button', { name: 'Close' }).click();

  await page.getByLabel('Find').fill('6017');
  check.equal(await page.locator('#calf-table tbody tr:not([hidden])').count(), 1);
  check.match(await page.locator('.controls p').innerText(), /^1 of 18\d calves$/);
  await page.getByLabel('Find').fill('');

  await page.setViewportSize({ width: 390, height: 844 });
  check.equal(await page.evaluate(() => document.documentElement.scrollWidth), 390, 'no sideways scrolling of the page');
  await page.evaluate(() => scrollTo(0, 0));
  await screenshot('results-file-390');
  await axe('results file on a phone');
  await page.setViewportSize({ width: 360, height: 740 });
  check.equal(await page.evaluate(() => document.documentElement.scrollWidth), 360);
  await page.setViewportSize({ width: 1280, height: 800 });
  for (const look of ['dark', 'sun']) {
    await page.getByLabel('Look').selectOption(look);
    await axe(`results file, ${look}`);
  }
  await page.getByLabel('Look').selectOption('dark');
  await screenshot('results-file-dark');
});

await journey(
  'a results file without scripts',
  async ({ page, check, screenshot, temporary }) => {
    const { address } = await handOver(join(temporary, 'plain.html'), { request: { compare } });
    await page.goto(address);
    check.ok((await page.locator('#calf-table tbody tr').count()) > 170);
    check.match(await page.locator('#calf-table').innerText(), /6017/);
    check.match(await page.locator('#cautions').innerText(), /It cannot show that the weights/);
    check.match(await page.locator('#engine').innerText(), /as stated/);
    check.equal(await page.locator('.controls').count(), 0);
    await screenshot('results-file-without-scripts');
  },
  { context: { javaScriptEnabled: false } },
);

/** Adds a pound to the weaning weight of one calf inside a finished file. */
function heavier(html) {
  return html.replace(/(data-payload="handed-over"[^>]*>)([^<]+)/, (_, head, packed) => {
    const given = JSON.parse(gunzipSync(Buffer.from(packed, 'base64')).toString('utf8'));
    const cells = given.columns.find((column) => column.key === 'wean_weight').cells;
    cells[5] += 1;
    return head + gzipSync(JSON.stringify(given)).toString('base64');
  });
}

await journey('a results file that was changed on the way', async ({ page, check, axe, screenshot, temporary }) => {
  const { address } = await handOver(join(temporary, 'changed.html'), { change: heavier });
  await page.goto(address);
  await page.locator('html[data-checked]').waitFor();
  check.match(await page.locator('#engine').innerText(), /figures do not match/);
  check.match(await page.locator('#marks').innerText(), /fingerprint at the end is not that of the contents/);
  const figure = page.locator('#calf-table tbody tr[data-row="5"] td.differs');
  check.ok((await figure.count()) >= 2, 'its own figures are marked');
  await page.getByLabel('only calves with a figure that does not match').check();
  check.ok((await page.locator('#calf-table tbody tr:not([hidden])').count()) < 40);
  await axe('results file that was changed');
  await screenshot('results-file-changed');
});
