// From a name to the animal it stands for and back; what is on no sheet, what fits two; a new tag; heifers kept as
// cows: with the keyboard on a desk, and with a finger on a phone.

import { journey } from '../harness.mjs';
import { goTo, openSample, sheetOf, sideways, until } from '../steps.mjs';

const heading = (page, name) => page.getByRole('heading', { name, exact: true, level: 1 }).waitFor();
const card = (page) => page.locator('fp-card');

async function toSheet(page, check, key, label) {
  await goTo(page, key);
  await heading(page, label);
  const sheet = sheetOf(page);
  await until(check, () => page.evaluate((wanted) => document.querySelector('fp-grid')?.source?.sheet === wanted && document.querySelector('fp-grid').nRows > 0, key), true, `${label} is shown`);
  return sheet;
}

async function typeInto(page, sheet, row, column, text) {
  await sheet.go(row, column);
  await page.keyboard.type(text);
  await page.keyboard.press('Enter');
}

await journey('from a dam to her row, her calves, and back', async ({ open, page, check, axe, screenshot }) => {
  await open('');
  await openSample(page);
  const sheet = await toSheet(page, check, 'calves', 'Calves');
  const dam = await until(check, () => sheet.text(0, 'dam'), Boolean, 'the dam is there');
  await sheet.go(0, 'dam');
  await page.getByRole('button', { name: `Open cow ${dam}`, exact: true }).waitFor();
  await screenshot('animals-name-1280');
  await axe('a cell that names a cow');
  await page.keyboard.press('Control+Enter');
  await heading(page, 'Cows');
  await until(check, () => sheet.activeName(), (name) => name?.includes(dam), 'the cow is the active cell');

  // Where else she stands; a step to one of her calves.
  await page.keyboard.press('Control+Enter');
  await card(page).getByRole('heading', { name: `Cow ${dam}` }).waitFor();
  await card(page).getByRole('heading', { name: /^Her calves/ }).waitFor();
  await screenshot('animals-card-1280');
  await axe('the card of a cow');
  await card(page).getByRole('link').first().click();
  await heading(page, 'Calves');
  await page.getByRole('button', { name: 'Back to Cows' }).waitFor();
  await page.goBack();
  await heading(page, 'Cows');
  await until(check, () => sheet.activeName(), (name) => name?.includes(dam), 'back on the cow');
  await page.getByRole('button', { name: 'Back to Calves' }).click();
  await heading(page, 'Calves');
  await until(check, () => sheet.activeName(), (name) => name?.includes(dam), 'back on the dam that was left');
}, { viewport: { width: 1280, height: 800 } });

await journey('a name on no sheet is added, a name that fits two is asked about, names are offered', async ({ open, page, check, axe, screenshot }) => {
  await open('');
  await openSample(page);
  // The line above the sheet is about the sheet that is shown, though the same cell is chosen on each.
  const line = () => page.getByLabel('Content of the selected cell').inputValue();
  let sheet = await toSheet(page, check, 'calves', 'Calves');
  const calf = await until(check, () => sheet.text(0, 'tag'), Boolean, 'the first calf');
  await until(check, line, calf, 'the line says the first calf');
  sheet = await toSheet(page, check, 'cows', 'Cows');
  const cow = await until(check, () => sheet.text(0, 'tag'), (text) => Boolean(text) && text !== calf, 'the first cow');
  await until(check, line, cow, 'the line says the first cow');
  await page.getByRole('button', { name: 'About this cow' }).waitFor();
  sheet = await toSheet(page, check, 'calves', 'Calves');
  const cows = await page.evaluate(() => document.querySelector('fp-shell').app.state.sheets.find((one) => one.key === 'cows').nRows);

  await typeInto(page, sheet, 0, 'dam', 'Z99');
  await sheet.go(0, 'dam');
  await page.getByRole('button', { name: 'Z99 is on no sheet' }).click();
  await page.locator('dialog.which').getByText('Z99 is not on the cows sheet.').waitFor();
  await axe('a name on no sheet');
  await page.getByRole('button', { name: 'Add it to the cows' }).click();
  await page.getByRole('button', { name: 'Open cow Z99', exact: true }).waitFor();

  // Names of the other sheet are offered while one is typed, with who they are.
  await sheet.go(1, 'dam');
  await page.keyboard.type('z9');
  const offer = page.getByRole('option', { name: /^Z99 / });
  await offer.waitFor();
  await screenshot('animals-offered-1280');
  await axe('names offered');
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('Enter');
  await until(check, () => sheet.text(1, 'dam'), 'Z99', 'the offered name is in the cell');

  // A second cow with the same tag: neither is taken, and it is asked.
  const there = await toSheet(page, check, 'cows', 'Cows');
  await typeInto(page, there, cows + 1, 'tag', 'Z99');
  await until(check, () => page.evaluate(() => document.querySelector('fp-grid').nRows), cows + 2, 'a second Z99');
  await typeInto(page, there, cows, 'birth_date', '2019-04-02');
  await typeInto(page, there, cows + 1, 'birth_date', '2021-03-09');
  await toSheet(page, check, 'calves', 'Calves');
  await sheet.go(0, 'dam');
  await page.keyboard.press('Control+Enter');
  const which = page.locator('dialog.which');
  await which.getByText('Z99 fits 2 rows. Choose one.').waitFor();
  await screenshot('animals-which-1280');
  await axe('which of two');
  await which.locator('.which-row', { hasText: '2019-04-02' }).getByRole('button', { name: 'This one' }).click();
  await until(check, () => sheet.text(0, 'dam'), 'cow Z99 born 2019', 'the name is told apart');
  await page.getByRole('button', { name: 'Open cow Z99', exact: true }).waitFor();
}, { viewport: { width: 1280, height: 800 } });

await journey('a new tag, and heifers kept as cows', async ({ open, page, check, axe, screenshot }) => {
  await open('');
  await openSample(page);
  const sheet = await toSheet(page, check, 'calves', 'Calves');
  // Only the heifers are shown.
  const only = (text) => page.evaluate((wanted) => { document.querySelector('fp-grid').filterText = wanted; }, text);
  await only('heifer');
  await until(check, () => sheet.text(0, 'sex'), 'heifer', 'heifers first');
  const tag = await until(check, () => sheet.text(0, 'tag'), Boolean, 'the first heifer');
  await sheet.go(0, 'tag');
  await page.keyboard.press('Shift+ArrowDown');
  await page.getByRole('button', { name: 'About 2 calves' }).click();
  await card(page).getByRole('button', { name: 'Keep these 2 as cows' }).click();
  await card(page).getByLabel('Joins the cows on').fill('2027-05-20');
  await axe('keeping heifers');
  await screenshot('animals-keep-1280');
  await card(page).getByRole('button', { name: 'Keep them' }).click();
  await until(check, () => page.locator('fp-shell').evaluate((shell) => shell.app.told), '2 heifers are on the cows sheet now.', 'they are kept');

  // Her row as a cow carries her own record as a calf.
  await sheet.go(0, 'tag');
  await card(page).getByText('Kept:').waitFor();
  await card(page).getByRole('link', { name: new RegExp(`^Cow ${tag}`) }).click();
  await heading(page, 'Cows');
  await until(check, () => sheet.activeName(), (name) => name?.includes(tag), 'her row among the cows');
  await page.keyboard.press('Control+Enter');
  await card(page).getByText('Adjusted 205-day weight').waitFor();
  await screenshot('animals-kept-1280');
  await axe('a kept heifer');

  // Her own figures stand in her row, each with its working.
  const row = await page.evaluate(() => document.querySelector('fp-grid').active.row);
  await page.keyboard.press('Escape');
  await sheet.go(row, 'own_adj_205_weight');
  await until(check, () => sheet.text(row, 'own_adj_205_weight'), (text) => /^\d/.test(text ?? ''), 'her own adjusted weight');
  await page.keyboard.press('Enter');
  await page.locator('fp-working').getByRole('heading', { name: `Own adjusted 205-day weight of ${tag}` }).waitFor();
  await axe('the working of her own weight');
  await screenshot('animals-own-figures-1280');
  await page.keyboard.press('Escape');
  await sheet.go(row, 'tag');
  await page.keyboard.press('Control+Enter');
  await card(page).getByText('Adjusted 205-day weight').waitFor();


  await card(page).getByRole('button', { name: 'Give a new tag' }).click();
  await card(page).getByLabel('New tag or EID').fill('K301');
  await card(page).getByLabel('From', { exact: true }).fill('2027-06-01');
  await card(page).getByRole('button', { name: 'Give it' }).click();
  await card(page).getByRole('heading', { name: 'Cow K301' }).waitFor();
  await card(page).getByText(`Before: ${tag} to 2027-06-01.`).waitFor();
  await card(page).getByText('Adjusted 205-day weight').waitFor();
  await screenshot('animals-retagged-1280');

  // One undo for each act.
  await page.keyboard.press('Escape');
  await page.keyboard.press('Control+z');
  await page.keyboard.press('Control+z');
  await toSheet(page, check, 'calves', 'Calves');
  await only(tag);
  await until(check, () => sheet.text(0, 'tag'), tag, 'the heifer');
  await sheet.go(0, 'tag');
  await page.keyboard.press('Control+Enter');
  await card(page).getByRole('button', { name: 'Keep as a cow' }).waitFor();
}, { viewport: { width: 1280, height: 800 } });

await journey('an empty sheet says what it is for', async ({ open, page, axe, screenshot }) => {
  await open('');
  await openSample(page);
  for (const [key, label, words] of [['weights', 'Weights', 'A row is one weighing of one animal.'], ['treatments', 'Treatments', 'never clear'], ['stays', 'Stays', 'A row is one animal in one place']]) {
    await goTo(page, key);
    await heading(page, label);
    await page.getByText(words).waitFor();
    await axe(label);
  }
  await screenshot('animals-empty-1280');
}, { viewport: { width: 1280, height: 800 } });

await journey('from a calf to its dam with a finger', async ({ open, page, check, axe, screenshot }) => {
  await open('');
  await openSample(page);
  const sheet = await toSheet(page, check, 'calves', 'Calves');
  await sheet.go(0, 'dam');
  const dam = await until(check, () => sheet.text(0, 'dam'), Boolean, 'the dam is there');
  await page.getByRole('button', { name: `Open cow ${dam}`, exact: true }).tap();
  await heading(page, 'Cows');
  await page.getByRole('button', { name: /^About/ }).tap();
  await card(page).getByRole('heading', { name: /^Her calves/ }).waitFor();
  await screenshot('animals-card-390');
  await axe('the card on a phone');
  check.equal(await sideways(page), 0, 'the page does not scroll sideways');
  await card(page).getByRole('button', { name: 'Close the card' }).tap();
  await page.getByRole('button', { name: 'Back to Calves' }).tap();
  await heading(page, 'Calves');
  await until(check, () => sheet.activeName(), (name) => name?.includes(dam), 'back on the calf');
  await screenshot('animals-name-390');
  await axe('a name on a phone');
}, { viewport: { width: 390, height: 844 }, context: { hasTouch: true } });
