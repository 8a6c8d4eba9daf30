// Settings: the unit, the name and the windows; every figure follows, and one undo takes it back.

import { journey } from '../harness.mjs';
import { goTo, openSample, sheetOf, until } from '../steps.mjs';

await journey('pounds to kilograms and back', async ({ open, page, check }) => {
  await open('');
  await openSample(page);
  const sheet = sheetOf(page);
  await until(check, () => sheet.text(0, 'adj_205_weight'), (text) => Boolean(text), 'the sheet is filled');
  const pounds = Number(await sheet.text(0, 'adj_205_weight'));
  const ratio = await sheet.text(0, 'ratio');
  await goTo(page, 'settings');
  await page.getByLabel('Unit of weights').selectOption('kg');
  await page.getByLabel('Name of the book').fill('Two barns in kilograms');
  await page.getByRole('button', { name: 'Use these settings' }).click();
  await page.getByText('Every figure was worked out again.').waitFor();
  check.equal(await page.locator('.book-name').innerText(), 'Two barns in kilograms');
  await goTo(page, 'fair');
  await until(check, () => sheet.text(0, 'adj_205_weight'), (text) => Math.abs(Number(text) - pounds * 0.45359237) < 0.06, 'the same weight in kilograms');
  check.equal(await sheet.text(0, 'ratio'), ratio, 'a ratio has no unit');
  await page.locator('fp-figure').getByText(/weight, kg/).first().waitFor();
  await page.getByRole('button', { name: /^Undo/ }).click();
  await until(check, () => sheet.text(0, 'adj_205_weight'), String(pounds), 'undo brings pounds back');
  check.equal(await page.locator('.book-name').innerText(), 'Two barns (invented)');
});

await journey('a refused setting says why and changes nothing', async ({ open, page, check }) => {
  await open('');
  await openSample(page);
  await goTo(page, 'settings');
  await page.getByLabel('Age at weighing from').fill('260');
  await page.getByRole('button', { name: 'Use these settings' }).click();
  const notice = page.locator('.notice');
  await notice.waitFor();
  check.ok((await notice.innerText()).length > 20, 'the refusal is a sentence');
  check.equal(await page.getByRole('button', { name: /^Undo/ }).isDisabled(), true, 'nothing changed');
});
