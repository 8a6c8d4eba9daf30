// The sample opens, shows fair weights sentence first, and every place has an address of its own.

import { journey } from '../harness.mjs';
import { goTo, openSample, sheetOf, until } from '../steps.mjs';

await journey('a sample opens and shows fair weights', async ({ open, page, check, screenshot }) => {
  await open('');
  await page.getByRole('heading', { name: 'Try a sample' }).waitFor();
  await screenshot('start-1280');
  const started = Date.now();
  await openSample(page);
  check.ok(Date.now() - started < 5000, 'the 180-calf book is open in good time even on a busy machine');
  await page.getByText('Invented sample.').waitFor();
  const sentence = await page.locator('.sentence').innerText();
  check.match(sentence, /\d+/, 'the sentence says how many');
  check.match(await page.locator('.saved').innerText(), /Saved here/);
  await screenshot('fair-1280');

  const sheet = sheetOf(page);
  await until(check, () => sheet.text(0, 'ratio'), (text) => text !== null && Number(text) > 100, 'the best ratio stands first');
  const figure = page.locator('fp-figure').first();
  await figure.getByRole('button', { name: 'Show as table' }).click();
  check.ok((await figure.locator('tbody tr').count()) > 100, 'the picture has its table');
  await figure.getByRole('button', { name: 'Show as picture' }).click();
  const [saved] = await Promise.all([page.waitForEvent('download'), figure.getByRole('button', { name: 'Save SVG' }).click()]);
  check.match(saved.suggestedFilename(), /\.svg$/);
  const [png] = await Promise.all([page.waitForEvent('download'), figure.getByRole('button', { name: 'Save PNG' }).click()]);
  check.match(png.suggestedFilename(), /\.png$/);
});

await journey('every place has an address, and back goes back', async ({ open, page, check, screenshot }) => {
  await open('?sample=two-barns');
  await page.locator('fp-figure svg').first().waitFor();
  for (const [hash, heading] of [['groups', 'Groups'], ['compare', 'Compare'], ['hand-over', 'Hand over'], ['problems', 'Problems'], ['settings', 'Settings of this book'], ['calves', 'Calves']]) {
    await goTo(page, hash);
    await page.getByRole('heading', { name: heading, exact: true, level: 1 }).waitFor();
    if (hash === 'compare') await page.locator('fp-compare .sentence').waitFor();
    if (hash === 'hand-over') await page.locator('fp-hand-over-rows tbody tr').first().waitFor();
    await page.evaluate(() => new Promise((done) => { requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 100))); }));
    await screenshot(`${hash}-1280`);
  }
  await page.goBack();
  await page.getByRole('heading', { name: 'Settings of this book' }).waitFor();
  await page.reload();
  await page.getByRole('heading', { name: 'Settings of this book' }).waitFor();
  check.match(await page.title(), /Settings/);
});

await journey('the working of a number, and the cells it came from', async ({ open, page, check, screenshot }) => {
  await open('?sample=two-barns');
  const sheet = sheetOf(page);
  await until(check, () => sheet.text(0, 'adj_205_weight'), (text) => text !== null && text !== '', 'weights are on the sheet');
  await sheet.go(0, 'adj_205_weight');
  await page.keyboard.press('Enter');
  const drawer = page.locator('.drawer');
  await drawer.locator('.inputs a').first().waitFor();
  check.match(await drawer.locator('.result').innerText(), /lb/);
  await screenshot('working-1280');
  await drawer.locator('.inputs a').first().click();
  await page.waitForURL(/#[a-z_]+\/\d+\//);
  await page.locator('fp-sheet').waitFor();
});
