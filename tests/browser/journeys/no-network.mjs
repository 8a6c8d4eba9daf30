// After loading, nothing is asked of any network; and with the network gone, the whole job still goes.

import { journey } from '../harness.mjs';
import { bringIn, goTo, openSample, sheetOf, until } from '../steps.mjs';

async function theJob(page, check) {
  const sheet = sheetOf(page);
  await goTo(page, 'calves');
  await until(check, () => sheet.text(0, 'tag'), (text) => Boolean(text), 'the sheet is filled');
  await sheet.go(0, 'note');
  await page.keyboard.type('no network');
  await page.keyboard.press('Enter');
  await until(check, () => page.locator('.saved').innerText(), (text) => /^Saved here/.test(text), 'it is saved');
  await goTo(page, 'compare/place');
  await page.locator('fp-compare .sentence').waitFor();
  await goTo(page, 'hand-over');
  await page.locator('fp-hand-over-rows tbody tr').first().waitFor();
}

await journey('offline after the first visit', async ({ open, page, server, check }) => {
  await open('');
  await openSample(page);
  await page.evaluate(async () => {
    const registration = await navigator.serviceWorker.ready;
    const worker = registration.active;
    if (worker.state !== 'activated') await new Promise((resolve) => { worker.onstatechange = () => worker.state === 'activated' && resolve(); });
  });
  await server.stop();
  await page.context().setOffline(true);
  await page.goto(`${server.address}#fair`);
  await page.locator('fp-figure svg').first().waitFor();
  await theJob(page, check);
  // The file is made from what is on the device already.
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Make the file' }).click()]);
  check.match(download.suggestedFilename(), /\.html$/);
});

await journey('no request after loading', async ({ open, page, context, server, check }) => {
  await open('?sample=two-barns');
  await page.locator('fp-figure svg').first().waitFor();
  await page.evaluate(() => navigator.serviceWorker.ready);
  // The results shell and the samples are files of the site; they are asked of the same folder and kept by the service worker.
  await page.reload();
  await page.locator('fp-figure svg').first().waitFor();
  await until(check, () => page.evaluate(() => navigator.serviceWorker.controller !== null), true, 'the service worker answers for the site');
  await new Promise((done) => setTimeout(done, 500));
  const asked = [];
  context.on('request', (request) => { if (request.url().startsWith('http') && !request.url().startsWith(server.address)) asked.push(request.url()); });
  const before = server.asked.length;
  await theJob(page, check);
  await goTo(page, 'start');
  await bringIn(page, 'few.csv', 'tag,sex,birth date,weaning weight,weaning date\n1,steer,2026-03-01,512,2026-10-01\n');
  await page.getByRole('dialog').getByRole('button', { name: 'Cancel' }).click();
  check.deepEqual(asked, [], 'no other host');
  check.deepEqual(server.asked.slice(before), [], 'and not the own site either');
});
