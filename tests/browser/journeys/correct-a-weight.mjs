// She sorts, corrects a weight by typing over it, and everything follows; one undo takes it back.

import { journey } from '../harness.mjs';
import { openSample, sheetOf, until } from '../steps.mjs';

await journey('a corrected weight, and everything follows', async ({ open, page, check, screenshot }) => {
  await open('');
  await openSample(page);
  const sheet = sheetOf(page);
  await until(check, () => sheet.text(0, 'adj_205_weight'), (text) => Boolean(text), 'the sheet is filled');
  // Sorting by a header: lightest fair weight first.
  await page.getByRole('columnheader', { name: /Adjusted 205-day weight/ }).getByRole('button').first().click();
  await until(check, async () => Number(await sheet.text(0, 'adj_205_weight')) <= Number(await sheet.text(1, 'adj_205_weight')), true, 'sorted upwards');

  const tag = await sheet.text(0, 'tag');
  const before = { weight: await sheet.text(0, 'wean_weight'), adjusted: await sheet.text(0, 'adj_205_weight'), ratio: await sheet.text(0, 'ratio') };
  const next = await sheet.text(1, 'ratio');
  await sheet.go(0, 'wean_weight');
  await page.keyboard.type(String(Number(before.weight) + 150));
  const typed = Date.now();
  await page.keyboard.press('Enter');
  await until(check, () => sheet.text(0, 'adj_205_weight'), (text) => Number(text) > Number(before.adjusted) + 100, 'the fair weight follows');
  const took = Date.now() - typed;
  console.log(`  typed to changed results: ${took} ms, seen through the browser driver`);
  check.ok(took < 1500, `results followed in ${took} ms`);
  check.notEqual(await sheet.text(0, 'ratio'), before.ratio, 'the ratio follows');
  check.equal(await sheet.text(0, 'tag'), tag, 'the row stays under her finger');
  const figure = page.locator('fp-figure').first();
  await figure.getByRole('button', { name: 'Show as table' }).click();
  const drawn = figure.locator('tbody tr').filter({ has: page.getByRole('rowheader', { name: tag, exact: true }) }).locator('td').last();
  const adjusted = await sheet.text(0, 'adj_205_weight');
  await until(check, () => drawn.innerText(), (text) => Number(text) === Number(adjusted), 'the picture and its table follow');
  await figure.getByRole('button', { name: 'Show as picture' }).click();
  await until(check, () => page.locator('.saved').innerText(), (text) => /Saved here/.test(text), 'it is saved');
  await screenshot('corrected-1280');

  await sheet.grid.focus();
  await page.keyboard.press('Control+z');
  await until(check, () => sheet.text(0, 'wean_weight'), before.weight, 'undo brings the weight back');
  await until(check, () => sheet.text(0, 'adj_205_weight'), before.adjusted, 'and what follows from it');
  check.equal(await sheet.text(1, 'ratio'), next);
  await page.keyboard.press('Control+y');
  await until(check, () => sheet.text(0, 'wean_weight'), String(Number(before.weight) + 150), 'redo does it again');
});

await journey('looking at cells changes none, however slow the machine', async ({ open, page, context, check }) => {
  await open('');
  await openSample(page);
  const sheet = sheetOf(page);
  await until(check, () => sheet.text(0, 'tag'), (text) => Boolean(text), 'the sheet is filled');
  const slow = await context.newCDPSession(page);
  await slow.send('Emulation.setCPUThrottlingRate', { rate: 8 });
  await sheet.go(0, 'tag');
  for (let round = 0; round < 12; round += 1) {
    for (const key of ['ArrowRight', 'ArrowDown', 'ArrowLeft', 'ArrowDown', 'ArrowRight', 'ArrowUp']) await page.keyboard.press(key);
    await page.locator('.fpg-entry-field').focus();
    await sheet.grid.focus();
  }
  await slow.send('Emulation.setCPUThrottlingRate', { rate: 1 });
  await new Promise((done) => setTimeout(done, 500));
  check.equal(await page.getByRole('button', { name: /^Undo/ }).isDisabled(), true, 'there is nothing to undo');
});
