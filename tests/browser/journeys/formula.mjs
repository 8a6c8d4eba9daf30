// A column worked out from others: written by keyboard alone, mended where it was wrong, followed by its values, kept.

import { journey } from '../harness.mjs';
import { goTo, openSample, sheetOf, sideways, until } from '../steps.mjs';

const KEY = 'gain_to_weaning';
const value = (text) => Number(text?.replace('\u2212', '-'));

async function openBox({ open, page, check }) {
  await open('');
  await openSample(page);
  await goTo(page, 'calves');
  const sheet = sheetOf(page);
  await until(check, () => sheet.text(0, 'tag'), (text) => Boolean(text), 'the sheet is filled');
  const shown = async (column) => {
    await sheet.go(0, column);
    return until(check, () => sheet.text(0, column), (text) => Boolean(text), `${column} is in sight`);
  };
  const first = { weaned: Number(await shown('wean_weight')), born: Number(await shown('birth_weight')), tag: await shown('tag') };
  const button = page.getByRole('button', { name: 'Calculated column' });
  await button.focus();
  await page.keyboard.press('Enter');
  const box = page.getByRole('dialog', { name: 'A calculated column' });
  await box.waitFor();
  return { box, sheet, first };
}

await journey('a calculated column, by keyboard, from a wrong formula to kept values', async (given) => {
  const { page, check, axe, screenshot } = given;
  const { box, sheet, first } = await openBox(given);
  const formula = box.getByRole('textbox', { name: 'Formula' });
  const offers = box.getByRole('listbox', { name: 'What could stand here' });

  // The name has the keyboard; Tab goes to the formula.
  await page.keyboard.type('Gain to weaning');
  await page.keyboard.press('Tab');
  check.equal(await formula.evaluate((field) => field === document.activeElement), true, 'Tab reaches the formula');

  // A wrong one: said where, and how to mend it; saving goes to the place and changes nothing.
  await page.keyboard.type('ROUND(wean_weigt - birth_weight; 1)');
  const trouble = box.locator('.formula-error');
  await trouble.waitFor();
  check.match(await trouble.innerText(), /wean_weigt/);
  check.match(await trouble.innerText(), /wean_weight/, 'it says how to mend it');
  check.match(await trouble.getByRole('button').innerText(), /Show "wean_weigt" at character 7/);
  check.equal(await box.locator('.formula-wrong').innerText(), 'wean_weigt', 'the place has a line under it');
  check.equal(await formula.getAttribute('aria-invalid'), 'true');
  await axe('a wrong formula');
  await screenshot('formula-wrong-1280');
  await page.keyboard.press('Control+Enter');
  await box.getByRole('alert').waitFor();
  check.deepEqual(await formula.evaluate((field) => [field.selectionStart, field.selectionEnd]), [6, 16], 'the place is selected');

  // Typing over it brings offers; the arrow keys choose, Tab takes.
  await page.keyboard.type('wean');
  await offers.waitFor();
  const active = () => formula.evaluate((field) => document.getElementById(field.getAttribute('aria-activedescendant'))?.textContent ?? '');
  for (let step = 0; step < 8 && !/\bwean_weight\b/.test(await active()); step += 1) await page.keyboard.press('ArrowDown');
  check.match(await active(), /wean_weight/, 'the arrow keys reach the column');
  await axe('the offers');
  await screenshot('formula-offers-1280');
  await page.keyboard.press('Tab');
  check.equal(await formula.inputValue(), 'ROUND(wean_weight - birth_weight; 1)', 'Tab takes the offer');
  await offers.waitFor({ state: 'hidden' });

  // Escape closes the list first, and only then the box.
  await page.keyboard.press('Alt+ArrowDown');
  await offers.waitFor();
  await page.keyboard.press('Escape');
  await offers.waitFor({ state: 'hidden' });
  check.equal(await box.isVisible(), true, 'the box stays');

  // What it gives, and the help of the function at the cursor.
  await box.getByText('This formula can be used. Gives a number.').waitFor();
  check.match(await box.locator('.formula-about').innerText(), /ROUND\(number; digits\?\)/);
  const row = box.locator('.formula-preview tbody tr').first();
  const { weaned, born, tag } = first;
  check.deepEqual([await row.locator('th').innerText(), value(await row.locator('td').innerText())], [tag, weaned - born], 'the preview stands beside the tag');
  await screenshot('formula-1280');
  await page.keyboard.press('Control+Enter');
  await box.waitFor({ state: 'hidden' });

  // Its values are on the sheet, and follow a weight that is typed over.
  await until(check, () => sheet.text(0, KEY), (text) => value(text) === weaned - born, 'the column is on the sheet');
  await sheet.go(0, 'wean_weight');
  await page.keyboard.type(String(weaned + 12));
  await page.keyboard.press('Enter');
  await sheet.go(0, KEY);
  await until(check, () => sheet.text(0, KEY), (text) => value(text) === weaned + 12 - born, 'it follows the weight');
  await until(check, sheet.activeName, (name) => /Gain to weaning.*your formula/.test(name ?? ''), 'a screen reader hears that it is a formula');
  await page.keyboard.press('Enter');
  const drawer = page.locator('.drawer');
  await drawer.getByText('A formula of your own.').waitFor();
  await screenshot('formula-working-1280');
  check.match(await drawer.innerText(), new RegExp(`${weaned + 12} - ${born}`), 'the working puts the numbers in');
  await axe('the working of a calculated cell');

  // Kept, and to be changed from the working.
  await until(check, () => page.locator('.saved').innerText(), (text) => /Saved here/.test(text), 'it is saved');
  await page.reload();
  await until(check, () => sheet.text(0, 'tag'), tag, 'the sheet is back');
  await sheet.go(0, KEY);
  await until(check, () => sheet.text(0, KEY), (text) => value(text) === weaned + 12 - born, 'it is still there');
  await page.keyboard.press('Enter');
  await drawer.getByRole('button', { name: 'Change the formula' }).click();
  const again = page.getByRole('dialog', { name: 'The formula of Gain to weaning' });
  await again.waitFor();
  await again.getByRole('textbox', { name: 'Formula' }).fill('IF(ISBLANK(wean_weight); NA(); wean_weight / 0)');
  await again.getByText('This formula can be used.').waitFor();
  await again.getByRole('button', { name: 'Save the formula' }).click();
  await again.waitFor({ state: 'hidden' });
  await until(check, () => sheet.text(0, KEY), '#DIV/0!', 'an error is a value that shows');
  await until(check, () => drawer.innerText(), (text) => /divided by zero/.test(text), 'and the working says what it means');

  // From the list in the box: the formula is taken away, the column stays, undo brings it back.
  await page.getByRole('button', { name: 'Close the working' }).click();
  await page.getByRole('button', { name: 'Calculated column' }).click();
  await page.getByLabel('Which column').selectOption({ label: 'Gain to weaning' });
  await again.waitFor();
  await again.getByRole('button', { name: 'Take the formula away' }).click();
  await again.waitFor({ state: 'hidden' });
  await sheet.grid.focus();
  await page.keyboard.press('Control+z');
  await sheet.go(0, KEY);
  await until(check, () => sheet.text(0, KEY), '#DIV/0!', 'undo brings the formula back');

  // What was written and not saved is there again.
  await page.getByRole('button', { name: 'Calculated column' }).click();
  await page.getByLabel('Name of the column').fill('Half done');
  await page.getByLabel('Formula', { exact: true }).fill('wean_weight * ');
  await page.getByRole('button', { name: 'Cancel' }).click();
  await page.getByRole('button', { name: 'Calculated column' }).click();
  check.equal(await page.getByLabel('Formula', { exact: true }).inputValue(), 'wean_weight * ', 'the formula is there again');
  await page.getByRole('button', { name: 'Start over' }).click();
  check.equal(await page.getByLabel('Formula', { exact: true }).inputValue(), '', 'begun anew');
  await page.getByRole('button', { name: 'Cancel' }).click();
});

await journey('the formula box on a phone, with all functions', async (given) => {
  const { page, check, axe, screenshot } = given;
  const { box } = await openBox(given);
  await page.setViewportSize({ width: 390, height: 844 });
  await box.getByLabel('Name of the column').fill('Gain');
  await box.getByRole('textbox', { name: 'Formula' }).fill('wean_weight - AVERAGE(wean_weight)');
  await box.getByText('This formula can be used.').waitFor();
  await axe('the formula box, 390 px');
  await screenshot('formula-390');
  await box.getByText(/^All columns and functions \(126 functions\)$/).click();
  check.equal(await box.locator('.formula-entries button').count() > 126, true, 'functions and columns are listed');
  for (const theme of ['light', 'dark', 'sun']) {
    await page.evaluate((name) => { document.documentElement.dataset.theme = name; }, theme);
    await axe(`all functions, ${theme}, 390 px`);
  }
  await screenshot('formula-sun-390');
  await page.evaluate(() => { delete document.documentElement.dataset.theme; });
  await box.getByLabel('Look for').fill('middle');
  await box.getByText(/MEDIAN/).first().waitFor();
  await screenshot('formula-functions-390');
  check.equal(await sideways(page), 0, 'the page does not scroll sideways');
  check.equal(await box.evaluate((dialog) => Math.max(...[...dialog.querySelectorAll('.dialog-body, .formula-form')].map((part) => part.scrollWidth - part.clientWidth))), 0, 'nor does the box');
});
