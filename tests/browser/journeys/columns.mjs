// The columns of a sheet: hidden, moved, frozen, saved as a view, renamed and taken away; by keyboard alone, and by
// touch on a phone. Everything is there after a restart, and undo takes it back.

import { journey } from '../harness.mjs';
import { goTo, openSample, sheetOf, sideways, until, tapTool } from '../steps.mjs';

const keys = (page) => page.evaluate(() => document.querySelector('fp-grid').columns.map(({ key }) => key));
const pinned = (page) => page.evaluate(() => document.querySelectorAll('.fpg-head.fpg-pin').length);
const said = (page) => page.locator('.away').innerText();
const activeText = (page) => page.evaluate(() => document.activeElement?.textContent?.trim() ?? '');
/** The head that has the keyboard, as a screen reader is told. */
const head = (page) => page.evaluate(() => {
  const id = document.querySelector('[role=grid]').getAttribute('aria-activedescendant');
  const element = document.getElementById(id);
  return element?.getAttribute('role') === 'columnheader' ? element.querySelector('.fpg-label').textContent : null;
});

async function atTheCalves({ open, page, check }) {
  await open('');
  await openSample(page);
  await goTo(page, 'calves');
  const sheet = sheetOf(page);
  await until(check, () => sheet.text(0, 'tag'), (text) => Boolean(text), 'the sheet is filled');
  return sheet;
}

/** Opens the menu of the head that has the keyboard, and chooses by first letters and arrows. */
async function choose(page, check, item) {
  await page.keyboard.press('Space');
  await page.getByRole('menu').waitFor();
  for (let step = 0; step < 20 && (await activeText(page)) !== item; step += 1) await page.keyboard.press('ArrowDown');
  check.equal(await activeText(page), item, `the arrows reach "${item}"`);
  await page.keyboard.press('Enter');
  await page.getByRole('menu').waitFor({ state: 'hidden' });
}

await journey('columns by keyboard alone', async (given) => {
  const { page, check, axe, screenshot } = given;
  const sheet = await atTheCalves(given);
  const first = await keys(page);
  check.deepEqual(first.slice(0, 4), ['tag', 'eid', 'sex', 'birth_date']);

  // Up from the first row to the heads; Space opens the menu, which says what the column is.
  await sheet.go(0, 'sex');
  await page.keyboard.press('ArrowUp');
  await until(check, () => head(page), 'Sex', 'the head has the keyboard');
  await page.keyboard.press('Space');
  const menu = page.getByRole('menu', { name: 'Column Sex' });
  await menu.waitFor();
  check.equal(await activeText(page), 'A first');
  await page.keyboard.press('End');
  check.equal(await activeText(page), 'All columns of the sheet');
  await page.keyboard.press('ArrowDown');
  check.equal(await activeText(page), 'A first', 'round at the end');
  await page.keyboard.type('h');
  check.equal(await activeText(page), 'Hide this column', 'a first letter goes to its item');
  await axe('the menu of a head');
  await screenshot('columns-menu-1280');
  await page.keyboard.press('Escape');
  await menu.waitFor({ state: 'hidden' });
  await until(check, () => page.evaluate(() => document.activeElement?.getAttribute('role')), 'grid', 'the sheet has the keyboard again');
  check.equal(await head(page), 'Sex');

  // Hidden: said, left out of what is selected and copied, and found no more.
  await choose(page, check, 'Hide this column');
  await until(check, () => keys(page), (now) => !now.includes('sex'), 'the column is hidden');
  check.match(await said(page), /1 column hidden/);
  check.equal(await head(page), 'Born', 'the next column has the keyboard');
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('Home');
  for (let step = 0; step < 2; step += 1) await page.keyboard.press('Shift+ArrowRight');
  const copied = await page.evaluate(() => {
    const data = new DataTransfer();
    document.querySelector('.fpg-scroller').dispatchEvent(new ClipboardEvent('copy', { clipboardData: data, bubbles: true, cancelable: true }));
    return data.getData('text/plain').split('\t');
  });
  check.deepEqual([copied.length, copied[2]], [3, await sheet.text(0, 'birth_date')], 'the hidden column is not among the copied');

  // What stands in a hidden column is not found; undo shows the column again.
  const breed = (await sheet.text(0, 'breed')).split(' ')[0];
  const find = async (said) => {
    await page.keyboard.press('Control+f');
    await page.getByRole('searchbox', { name: 'Find' }).or(page.locator('#find')).first().fill(breed);
    await page.keyboard.press('Enter');
    await page.locator('.find [role=status]').getByText(said).waitFor();
    await page.keyboard.press('Escape');
  };
  await find(/^Row /);
  await sheet.go(0, 'breed');
  await page.keyboard.press('ArrowUp');
  await choose(page, check, 'Hide this column');
  await until(check, () => said(page), (text) => /2 columns hidden/.test(text), 'two are hidden');
  await find(`"${breed}" is not in the rows and columns shown.`);
  await page.keyboard.press('Control+z');
  await until(check, () => said(page), (text) => /1 column hidden/.test(text), 'undo shows one');

  // Pasting passes it by: three values go into three columns that are seen.
  await sheet.go(1, 'tag');
  const sexBefore = await page.evaluate(() => document.querySelector('fp-grid').source.raw(1, 'sex'));
  await page.evaluate(() => {
    const data = new DataTransfer();
    data.setData('text/plain', 'P1\t999000000099999\t2026-02-27');
    document.querySelector('.fpg-scroller').dispatchEvent(new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true }));
  });
  await until(check, () => sheet.text(1, 'birth_date'), '2026-02-27', 'the third value is in the third column shown');
  check.equal(await page.evaluate(() => document.querySelector('fp-grid').source.raw(1, 'sex')), sexBefore, 'the hidden column keeps its cell');

  // Moved and frozen.
  await page.keyboard.press('Control+Home');
  await page.keyboard.press('ArrowUp');
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('ArrowRight');
  await until(check, () => head(page), 'Born', 'Born has the keyboard');
  await page.keyboard.press('Control+Shift+ArrowLeft');
  await until(check, () => keys(page), (now) => now[1] === 'birth_date' && now[2] === 'eid', 'one place to the left');
  await until(check, () => head(page), 'Born', 'the keyboard goes with the column');
  await choose(page, check, 'Freeze up to here');
  await until(check, () => pinned(page), 2, 'two columns stay in sight');
  await page.keyboard.press('End');
  await until(check, () => page.locator('.fpg-scroller').evaluate((element) => element.scrollLeft > 0), true, 'the sheet is pushed sideways');
  const inSight = await page.evaluate(() => {
    const left = document.querySelector('.fpg-scroller').getBoundingClientRect().left;
    return [...document.querySelectorAll('.fpg-head')].slice(0, 2).map((one) => Math.round(one.getBoundingClientRect().left - left));
  });
  check.equal(inSight[0], 0);
  check.equal(inSight[1], await page.evaluate(() => document.querySelector('fp-grid').layout.widths[0]), 'the second stands beside the first');
  await screenshot('columns-frozen-1280');

  // Wider by keys; saved as a view.
  await page.keyboard.press('Home');
  await page.keyboard.press('Shift+ArrowRight');
  const width = await page.evaluate(() => document.querySelector('fp-grid').layout.widths[0]);
  const views = page.getByRole('button', { name: 'Views' });
  await views.focus();
  await page.keyboard.press('Enter');
  const panel = page.getByRole('dialog', { name: 'Views' });
  await panel.waitFor();
  await axe('views, none saved');
  await page.getByRole('textbox', { name: 'Save how the sheet looks now as' }).focus();
  await page.keyboard.type('Weaning day');
  await page.keyboard.press('Enter');
  await panel.getByRole('button', { name: 'Weaning day', exact: true, pressed: true }).waitFor();
  await axe('a saved view');
  await screenshot('columns-views-1280');
  await panel.getByRole('button', { name: 'All columns' }).focus();
  await page.keyboard.press('Enter');
  await until(check, () => keys(page), (now) => now.includes('sex'), 'all columns are shown');
  await panel.getByRole('button', { name: 'Weaning day', exact: true }).focus();
  await page.keyboard.press('Enter');
  await until(check, () => keys(page), (now) => !now.includes('sex') && now[1] === 'birth_date', 'the view is back');
  await panel.getByRole('button', { name: 'Rename Weaning day' }).focus();
  await page.keyboard.press('Enter');
  await until(check, () => page.evaluate(() => document.activeElement?.getAttribute('name')), 'new-name', 'the name can be typed over');
  await page.keyboard.type('Fall work');
  await page.keyboard.press('Enter');
  await panel.getByRole('button', { name: 'Fall work', exact: true, pressed: true }).waitFor();
  await page.keyboard.press('Escape');
  await panel.waitFor({ state: 'hidden' });

  // Everything is there after a restart.
  await page.reload();
  await until(check, () => sheet.text(0, 'tag'), (text) => Boolean(text), 'the sheet is filled again');
  const again = await keys(page);
  check.deepEqual([again.includes('sex'), again.slice(0, 3)], [false, ['tag', 'birth_date', 'eid']]);
  check.equal(await pinned(page), 2);
  check.equal(await page.evaluate(() => document.querySelector('fp-grid').layout.widths[0]), width, 'the width is kept');

  // One press shows what is hidden; undo hides it again.
  await page.getByRole('button', { name: 'Show the hidden columns' }).focus();
  await page.keyboard.press('Enter');
  await until(check, () => keys(page), (now) => now.includes('sex'), 'shown again');
  check.equal(await page.locator('.away').count(), 0);
  await sheet.go(0, 'tag');
  await page.keyboard.press('Control+z');
  await until(check, () => keys(page), (now) => !now.includes('sex'), 'undo hides it again');
});

await journey('columns of her own, renamed and taken away', async (given) => {
  const { page, check, axe, screenshot } = given;
  const sheet = await atTheCalves(given);
  const add = async (label) => {
    await page.getByRole('button', { name: 'Add a column' }).click();
    await page.getByRole('textbox', { name: 'Header' }).fill(label);
    await page.keyboard.press('Enter');
    await until(check, () => keys(page), (now) => now.includes(label.toLowerCase()), `${label} is added`);
  };
  await add('Temper');
  await sheet.go(0, 'temper');
  await page.keyboard.type('calm');
  await page.keyboard.press('Enter');
  await until(check, () => sheet.text(0, 'temper'), 'calm', 'it is typed');

  // A look with the new column in front, saved.
  await sheet.go(0, 'temper');
  await page.keyboard.press('ArrowUp');
  await choose(page, check, 'Move to the front');
  await until(check, () => keys(page), (now) => now[0] === 'temper', 'it stands in front');
  await page.getByRole('button', { name: 'Views' }).click();
  await page.getByRole('textbox', { name: 'Save how the sheet looks now as' }).fill('With temper');
  await page.keyboard.press('Enter');
  await page.getByRole('button', { name: 'With temper', exact: true, pressed: true }).waitFor();
  await page.keyboard.press('Escape');
  await page.getByRole('dialog', { name: 'Views' }).waitFor({ state: 'hidden' });

  await page.getByRole('button', { name: 'Calculated column' }).click();
  await page.getByRole('textbox', { name: 'Name of the column' }).fill('Shout');
  await page.getByRole('textbox', { name: 'Formula' }).fill('UPPER(temper)');
  await page.keyboard.press('Control+Enter');
  await until(check, () => sheet.text(0, 'shout'), 'CALM', 'the formula follows');

  // A column that a formula uses stays, and the formula is named.
  await sheet.go(0, 'temper');
  await page.keyboard.press('Control+Home');
  await sheet.go(0, 'temper');
  await page.keyboard.press('ArrowUp');
  await choose(page, check, 'Take the column away');
  await page.getByText('Temper cannot be taken away: the formula of Shout uses it.').waitFor();
  check.equal((await keys(page)).includes('temper'), true);

  await sheet.go(0, 'temper');
  await page.keyboard.press('ArrowUp');
  await choose(page, check, 'Rename');
  const rename = page.getByRole('dialog', { name: 'Rename the column' });
  await rename.waitFor();
  await axe('renaming a column');
  await page.keyboard.type('Sex');
  await page.keyboard.press('Enter');
  await rename.getByRole('alert').waitFor();
  await page.getByRole('textbox', { name: 'Name' }).fill('Temper in the chute');
  await page.keyboard.press('Enter');
  await rename.waitFor({ state: 'hidden' });
  await until(check, () => page.locator('.fpg-head .fpg-label', { hasText: 'Temper in the chute' }).count(), 1, 'the head says the new name');
  check.equal(await sheet.text(0, 'shout'), 'CALM', 'the formula still knows it');

  // The formula goes, then the column with what is in it; two undos bring both back.
  await sheet.go(0, 'shout');
  await page.keyboard.press('ArrowUp');
  await choose(page, check, 'Change the formula');
  await page.getByRole('dialog', { name: 'The formula of Shout' }).waitFor();
  await page.keyboard.press('Escape');
  await sheet.go(0, 'shout');
  await page.keyboard.press('ArrowUp');
  await choose(page, check, 'Take the column away');
  await until(check, () => keys(page), (now) => !now.includes('shout'), 'the formula is gone');
  await sheet.go(0, 'temper');
  await page.keyboard.press('ArrowUp');
  await choose(page, check, 'Take the column away');
  await until(check, () => keys(page), (now) => !now.includes('temper'), 'the column is gone');
  // A view that names it says so, and opens all the same.
  await page.getByRole('button', { name: 'Views' }).click();
  const views = page.getByRole('dialog', { name: 'Views' });
  await views.getByText('It names 1 column that is not there: temper.').waitFor();
  await views.getByRole('button', { name: 'With temper', exact: true }).click();
  await until(check, () => keys(page), (now) => now.includes('tag') && !now.includes('temper'), 'it opens');
  await screenshot('columns-taken-away-1280');
  await page.keyboard.press('Escape');
  await page.keyboard.press('Control+z');
  await sheet.go(0, 'tag');
  await page.keyboard.press('Control+z');
  await page.keyboard.press('Control+z');
  await until(check, () => keys(page), (now) => now.includes('temper') && now.includes('shout'), 'both are back');
  await sheet.go(0, 'temper');
  await until(check, () => sheet.text(0, 'temper'), 'calm', 'with what was in it');
});

await journey('columns with a finger', async (given) => {
  const { page, check, axe, screenshot, context } = given;
  const sheet = await atTheCalves(given);
  const hand = await context.newCDPSession(page);
  const touch = (type, x, y) => hand.send('Input.dispatchTouchEvent', { type, touchPoints: type === 'touchEnd' ? [] : [{ x, y }] });
  const middle = async (label) => {
    const box = await page.locator('.fpg-head', { has: page.locator('.fpg-label', { hasText: label }) }).first().boundingBox();
    return [box.x + box.width / 2, box.y + 20];
  };
  const before = await keys(page);

  // A long press opens the menu at the foot of the screen.
  const [x, y] = await middle('EID');
  await touch('touchStart', x, y);
  await until(check, () => page.locator('.fpg-lifted').count(), 1, 'the head is lifted');
  await touch('touchEnd', x, y);
  const menu = page.getByRole('menu', { name: /^Column EID/ });
  await menu.waitFor();
  const box = await menu.boundingBox();
  check.ok(Math.abs(box.y + box.height - 800) <= 8 && box.width >= 388, 'the menu stands at the foot');
  for (const item of await menu.getByRole('menuitem').all()) check.ok((await item.boundingBox()).height >= 44, 'big enough for a finger');
  await axe('the menu of a head on a phone');
  await screenshot('columns-menu-390');
  check.deepEqual(await page.evaluate(() => document.querySelector('fp-grid').sortKeys), [], 'a long press does not sort');
  await menu.getByRole('menuitem', { name: 'Hide this column' }).tap();
  await until(check, () => keys(page), (now) => !now.includes('eid'), 'hidden');
  check.match(await said(page), /1 column hidden/);

  // A head that is held and then pulled goes along.
  const [fromX, fromY] = await middle('Sex');
  await touch('touchStart', fromX, fromY);
  await until(check, () => page.locator('.fpg-lifted').count(), 1, 'the head is lifted');
  for (let step = 1; step <= 8; step += 1) await touch('touchMove', fromX - step * ((fromX - 30) / 8), fromY);
  await screenshot('columns-carried-390');
  await touch('touchEnd', 30, fromY);
  await until(check, () => keys(page), (now) => now[0] === 'sex' && now[1] === 'tag', 'the column is at the front');
  await page.getByRole('button', { name: 'Undo' }).tap();
  await until(check, () => keys(page), (now) => now[0] === 'tag', 'undo puts it back');

  // A finger that only pans moves nothing.
  const order = await keys(page);
  const [panX, panY] = await middle('Sex');
  await touch('touchStart', panX, panY);
  for (let step = 1; step <= 6; step += 1) await touch('touchMove', panX - step * 20, panY);
  await touch('touchEnd', panX - 120, panY);
  await until(check, () => page.locator('.fpg-scroller').evaluate((element) => element.scrollLeft > 40), true, 'the sheet pans');
  check.deepEqual(await keys(page), order);
  // A press while the sheet still glides only stops it.
  let at = -1;
  await until(check, () => page.locator('.fpg-scroller').evaluate((element) => element.scrollLeft), (now) => { const still = now === at; at = now; return still; }, 'the sheet rests');

  // The list of all columns.
  await page.locator('.sheet-head').evaluate((element) => { element.scrollLeft = 2000; });
  await tapTool(page, 'Columns');
  const panel = page.getByRole('dialog', { name: 'Columns' });
  await panel.waitFor();
  await axe('the list of columns on a phone');
  await screenshot('columns-list-390');
  await panel.getByRole('searchbox', { name: 'Find a column' }).fill('eid');
  const ticks = await panel.getByRole('checkbox').all();
  check.ok(ticks.length >= 1 && ticks.length < 8, 'typing finds the few that are called so');
  await panel.getByRole('checkbox', { name: /^EID/ }).first().tap();
  await until(check, () => keys(page), (now) => now.includes('eid'), 'shown again');
  await panel.getByRole('searchbox', { name: 'Find a column' }).fill('');
  await panel.getByRole('button', { name: 'Later: Tag' }).tap();
  await until(check, () => keys(page), (now) => now[0] === before[1] && now[1] === 'tag', 'one place on');
  // What a narrow screen has no room for is said.
  await panel.getByRole('combobox', { name: 'Stay in sight' }).selectOption('3');
  await page.getByText('The first 3 columns stay in sight. On a screen this narrow there is room for 1 of them.').waitFor();
  check.equal(await pinned(page), 1);
  await panel.getByRole('button', { name: 'Close' }).tap();
  check.equal(await sideways(page), 0, 'the page itself does not go sideways');

  await tapTool(page, 'Views');
  await page.getByRole('dialog', { name: 'Views' }).waitFor();
  await axe('views on a phone');
  await screenshot('columns-views-390');
}, { viewport: { width: 390, height: 800 }, context: { hasTouch: true, isMobile: true } });
