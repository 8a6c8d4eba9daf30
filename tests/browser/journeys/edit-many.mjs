// Many cells at once in a book: the line under the sheet, find and replace, dates as people type them, and the
// same with a finger.

import { journey } from '../harness.mjs';
import { goTo, openSample, sheetOf, until, tapTool } from '../steps.mjs';

const facts = (page) => page.evaluate(() => Object.fromEntries([...document.querySelectorAll('fp-status-line .fact')]
  .map((fact) => [fact.dataset.fact, fact.querySelector('b').textContent])));

async function toCalves(page, check) {
  await openSample(page);
  await goTo(page, 'calves');
  await page.getByRole('heading', { name: 'Calves', exact: true }).waitFor();
  const sheet = sheetOf(page);
  await until(check, () => sheet.text(0, 'tag'), (text) => Boolean(text), 'the sheet is filled');
  return sheet;
}

await journey('the line under the sheet', async ({ open, page, check, axe, screenshot }) => {
  await open('');
  const sheet = await toCalves(page, check);
  check.deepEqual(await facts(page), {}, 'one cell has no sum');
  await sheet.go(0, 'wean_weight');
  for (const key of ['Shift+ArrowDown', 'Shift+ArrowDown']) await page.keyboard.press(key);
  await until(check, () => facts(page).then((found) => found.cells), '3', 'three cells are counted');
  const weights = [];
  for (const row of [0, 1, 2]) weights.push(Number(await sheet.text(row, 'wean_weight')));
  const filled = weights.filter((weight) => weight > 0);
  const found = await facts(page);
  check.equal(found.count, String(filled.length));
  check.equal(found.sum, `${filled.reduce((sum, weight) => sum + weight, 0).toLocaleString('en-US')} lb`);
  check.equal(found.least, `${Math.min(...filled)} lb`);

  // A whole column; what changes in it changes the line.
  await page.keyboard.press('Control+Space');
  const rows = await page.evaluate(() => document.querySelector('fp-grid').nRows);
  await until(check, () => facts(page).then(({ cells }) => cells), String(rows), 'the whole column');
  const before = await facts(page);
  await sheet.go(0, 'wean_weight');
  await page.keyboard.type('heavy');
  await page.keyboard.press('Enter');
  await until(check, () => sheet.text(0, 'wean_weight'), 'heavy', 'the text is kept');
  await page.keyboard.press('Control+Space');
  await until(check, () => facts(page).then(({ unreadable }) => unreadable), '1', 'what cannot be read is counted apart');
  check.equal(Number((await facts(page)).count), Number(before.count) - 1);
  await page.keyboard.press('Control+z');
  await until(check, () => facts(page).then(({ sum }) => sum), before.sum, 'undo brings the sum back');

  await sheet.go(0, 'sex');
  await page.keyboard.press('Control+Space');
  await until(check, () => facts(page).then(({ distinct }) => Number(distinct) > 1), true, 'texts are counted by kind');
  for (const look of ['light', 'dark', 'sun']) {
    await page.evaluate((theme) => { document.documentElement.dataset.theme = theme; }, look);
    await axe(`the sheet with a selection, ${look}`);
  }
  await screenshot('sheet-status-1280');
}, { viewport: { width: 1280, height: 800 } });

await journey('find and replace in a column', async ({ open, page, check, axe, screenshot }) => {
  await open('');
  const sheet = await toCalves(page, check);
  await sheet.go(0, 'place');
  const place = await until(check, () => sheet.text(0, 'place'), (text) => Boolean(text), 'the column is in sight');
  await page.keyboard.press('Control+h');
  await until(check, () => page.evaluate(() => document.activeElement?.getAttribute('name')), 'find', 'the keyboard is in the field');
  await page.keyboard.type(place.toUpperCase());
  const bar = page.getByRole('form', { name: 'Find and replace' });
  const said = bar.getByRole('status');
  await until(check, () => said.textContent(), (text) => /^\d+ cells in \d+ rows\.$/.test(text ?? ''), 'counted before');
  const n = Number((await said.textContent()).match(/^\d+/)[0]);
  await bar.getByLabel('Match capitals').check();
  await until(check, () => said.textContent(), 'No cell holds this.', 'capitals are told apart when asked');
  await bar.getByLabel('Match capitals').uncheck();
  await until(check, () => bar.getByRole('button', { name: `Replace in ${n} cells` }).isEnabled(), true, 'the count is on the button');
  await bar.getByLabel('Replace with').fill('Shed 9');
  for (const look of ['light', 'dark', 'sun']) {
    await page.evaluate((theme) => { document.documentElement.dataset.theme = theme; }, look);
    await axe(`find and replace, ${look}`);
  }
  await screenshot('sheet-replace-1280');
  await bar.getByRole('button', { name: `Replace in ${n} cells` }).click();
  await until(check, () => sheet.text(0, 'place'), 'Shed 9', 'the text is replaced');
  await until(check, () => said.textContent(), (text) => text?.startsWith(`Replaced in ${n} cells.`), 'said after');

  // Columns that are worked out hold the place too, and say so.
  await bar.getByLabel('Find', { exact: true }).fill('Shed 9');
  await bar.getByRole('combobox').selectOption('all');
  await until(check, () => said.textContent(), (text) => /worked out (is|are) left alone/.test(text ?? ''), 'computed columns are left alone');
  await page.keyboard.press('Escape');
  check.equal(await bar.count(), 0);
  check.equal(await page.evaluate(() => document.activeElement?.getAttribute('role')), 'grid');
  await page.keyboard.press('Control+z');
  await until(check, () => sheet.text(0, 'place'), place, 'one undo takes all of it back');

  await page.keyboard.press('F1');
  const keys = page.getByRole('dialog', { name: 'Keys of the sheet' });
  await keys.waitFor();
  await axe('the keys of the sheet');
  await screenshot('sheet-keys-1280');
  await keys.getByRole('button', { name: 'Close' }).click();
}, { viewport: { width: 1280, height: 800 } });

await journey('dates and numbers as people type them', async ({ open, page, check }) => {
  await open('');
  const sheet = await toCalves(page, check);
  const year = (await page.evaluate(async () => document.querySelector('fp-grid').source.raw(0, 'birth_date'))).slice(0, 4);
  for (const [typed, kept] of [['3/14', `${year}-03-14`], ['14 Mar', `${year}-03-14`], ['2026-03-15', '2026-03-15'], ['4/1/26', '2026-04-01']]) {
    await sheet.go(0, 'birth_date');
    await page.keyboard.type(typed);
    await page.keyboard.press('Enter');
    await until(check, () => sheet.text(0, 'birth_date'), kept, `${typed} is a date`);
  }
  await sheet.go(0, 'wean_weight');
  await page.keyboard.type('1,234');
  await page.keyboard.press('Enter');
  await until(check, () => sheet.text(0, 'wean_weight'), '1234', '1,234 is a number');
  await sheet.go(0, 'sex');
  await page.keyboard.press('Alt+ArrowDown');
  const words = page.getByRole('listbox', { name: 'Words for Sex' });
  const [first] = await words.getByRole('option').allTextContents();
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('Enter');
  await until(check, () => sheet.text(0, 'sex'), first, 'a word from the list');
});

await journey('many cells with a finger', async ({ open, page, check, axe, screenshot }) => {
  await open('');
  const sheet = await toCalves(page, check);
  await sheet.go(0, 'sex');
  const cell = (row, column) => page.evaluate(([r, key]) => {
    const grid = document.querySelector('fp-grid');
    const box = grid.boxOf({ row: r, column: grid.columns.findIndex((one) => one.key === key) });
    const { left, top } = grid.getBoundingClientRect();
    return { x: left + box.left + 24, y: top + box.top + 20 };
  }, [row, column]);
  await until(check, () => sheet.text(1, 'sex'), (text) => Boolean(text), 'the column is in sight');
  const first = await sheet.text(0, 'sex');
  const third = await cell(2, 'sex');
  const touch = await page.context().newCDPSession(page);
  await touch.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: [third] });
  await page.getByRole('toolbar', { name: 'Selected cells' }).waitFor();
  await touch.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
  await until(check, () => facts(page).then(({ cells }) => cells), '3', 'a long press selects to there');
  await axe('a selection on a phone');
  await screenshot('sheet-acts-390');
  const small = await page.evaluate(() => [...document.querySelectorAll('.fpg-acts button')].filter((one) => one.getBoundingClientRect().height < 44).length);
  check.equal(small, 0);
  await page.getByRole('toolbar', { name: 'Selected cells' }).getByRole('button', { name: 'Fill down' }).tap();
  await until(check, async () => [await sheet.text(1, 'sex'), await sheet.text(2, 'sex')].join(), `${first},${first}`, 'filled down');

  // A tap on the cell that is active opens its list of words.
  const here = await cell(1, 'sex');
  await page.touchscreen.tap(here.x, here.y);
  await page.waitForTimeout(500);
  await page.touchscreen.tap(here.x, here.y);
  const words = page.getByRole('listbox', { name: 'Words for Sex' });
  await words.waitFor();
  await screenshot('sheet-words-390');
  await axe('the list of words on a phone');
  await words.getByRole('option').last().tap();
  await until(check, () => sheet.text(1, 'sex'), (text) => text !== first, 'a tap takes the word');
  await tapTool(page, 'Replace');
  await screenshot('sheet-replace-390');
  await axe('find and replace on a phone');
}, { viewport: { width: 390, height: 844 }, context: { hasTouch: true, isMobile: true } });

await journey('a filter by range, a space, a paste over what is worked out', async ({ open, page, check }) => {
  await open('');
  await openSample(page);
  await goTo(page, 'calves');
  const sheet = sheetOf(page);
  await page.locator('fp-sheet fp-grid[data-ready]').waitFor();
  const shown = () => page.locator('.sheet-head [role=status]').innerText();
  const all = await shown();
  await page.getByRole('button', { name: 'Filter' }).click();
  const field = page.getByLabel('Adjusted 205-day weight contains, or is in a range such as >500');
  await sheet.go(0, 'adj_205_weight');
  await field.fill('>600');
  await until(check, shown, (text) => /^\d+ of \d+ rows shown$/.test(text), 'some rows are over 600');
  const over = Number.parseInt(await shown(), 10);
  await field.fill('<=600');
  await until(check, shown, (text) => /^\d+ of/.test(text) && Number.parseInt(text, 10) !== over, 'the others are not');
  const under = Number.parseInt(await shown(), 10);
  check.match(all, /^182 rows$/);
  check.equal(over + under <= 182, true, 'a calf without a weight is in no range');
  await field.fill('');
  await until(check, shown, all, 'all rows again');

  // A space begins a new text, as any other key does.
  await sheet.go(0, 'note');
  await page.keyboard.type('old');
  await page.keyboard.press('Enter');
  await until(check, () => sheet.text(0, 'note'), 'old', 'a note');
  await sheet.go(0, 'note');
  await page.keyboard.type(' new');
  await page.keyboard.press('Enter');
  await until(check, () => sheet.text(0, 'note'), 'new', 'the note is another');

  // What is worked out stays, and that can be seen.
  await sheet.go(0, 'ratio');
  const ratio = await until(check, () => sheet.text(0, 'ratio'), (text) => text !== null, 'the ratio can be seen');
  await page.evaluate(() => {
    const data = new DataTransfer();
    data.setData('text/plain', '1\t2\n3\t4\n');
    document.querySelector('fp-grid .fpg-scroller').dispatchEvent(new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true }));
  });
  await page.locator('.fpg-note:not([hidden])').getByText(/cannot be typed over left alone/).waitFor();
  check.equal(await sheet.text(0, 'ratio'), ratio, 'the ratio stands');
}, { viewport: { width: 1280, height: 800 } });
