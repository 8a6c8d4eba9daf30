// The sheet over an invented herd of 1,000,000 calves: keys, edits, clipboard, sorting, filters, scrolling,
// touch, accessibility in three themes, and the figures of smooth scrolling (printed, not judged).

import { copyFileSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { journey, serve } from '../harness.mjs';

const web = fileURLToPath(new URL('../../../web/', import.meta.url));
const { build } = createRequire(join(web, 'package.json'))('esbuild');

const site = mkdtempSync(join(tmpdir(), 'fairpen-sheet-'));
mkdirSync(join(site, 'grid'));
await build({
  entryPoints: [join(web, 'src/grid/demo.ts')], bundle: true, format: 'iife', outfile: join(site, 'grid/demo.js'), logLevel: 'error',
});
copyFileSync(join(web, 'src/theme.css'), join(site, 'theme.css'));
for (const file of ['grid.css', 'demo.html']) copyFileSync(join(web, 'src/grid', file), join(site, 'grid', file));
const server = await serve(site);
const demo = (options = '') => `${server.address}grid/demo.html?${options}`;

/** What the tests ask of the sheet, by what a person can see or hear. */
function sheetOf(page) {
  const sheet = page.locator('fp-grid');
  const grid = page.getByRole('grid');
  return {
    grid,
    live: sheet.locator('[role=status]'),
    note: sheet.locator('.fpg-note'),
    editor: sheet.locator('.fpg-editor'),
    entry: page.locator('.fpg-entry-field'),
    press: (key) => page.keyboard.press(key),
    /** Two frames: keys act, then rows are drawn. */
    drawn: () => page.evaluate(() => new Promise((done) => { requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done))); })),
    activeName: () => page.evaluate(() => {
      const id = document.querySelector('[role=grid]').getAttribute('aria-activedescendant');
      return document.getElementById(id)?.getAttribute('aria-label') ?? document.getElementById(id)?.textContent ?? null;
    }),
    /** Text of a cell by row position and column number, both from 0; null when it is not on screen. */
    text: (row, column) => page.evaluate(([r, c]) => {
      const offset = document.querySelector('fp-grid').headRows + 1;
      return document.querySelector(`fp-grid .fpg-row:not([hidden])[aria-rowindex="${r + offset}"] [aria-colindex="${c + 1}"]`)?.textContent ?? null;
    }, [row, column]),
    firstRow: () => page.evaluate(() => {
      const body = document.querySelector('.fpg-body').getBoundingClientRect();
      const grid = document.querySelector('fp-grid');
      const cell = grid.cellAt(body.left + 20, body.top + 1);
      return cell.row;
    }),
    go: (row, column) => page.evaluate(([r, c]) => { const s = document.querySelector('fp-grid'); s.goTo(r, c); s.focusSheet(); }, [row, column]),
  };
}

async function until(check, read, wanted, what) {
  const end = Date.now() + 4000;
  for (;;) {
    const found = await read();
    if (typeof wanted === 'function' ? wanted(found) : found === wanted) return;
    if (Date.now() > end) check.fail(`${what}: expected ${wanted}, found ${JSON.stringify(found)}`);
    await new Promise((done) => setTimeout(done, 25));
  }
}

await journey('keys and edits on the sheet', async ({ page, check }) => {
  await page.goto(demo());
  const s = sheetOf(page);
  await s.go(0, 'tag');
  await until(check, s.activeName, 'row 1, Tag, 1000', 'name of the first cell');
  check.equal(await s.grid.getAttribute('aria-rowcount'), '1000002');
  check.equal(await s.grid.getAttribute('aria-colcount'), '13');

  await s.press('ArrowDown');
  await s.press('ArrowRight');
  await until(check, s.activeName, (name) => name?.startsWith('row 2, Born, 2026-'), 'arrows move');
  await s.press('Control+End');
  await until(check, s.activeName, (name) => name?.startsWith('row 1000000, Note'), 'Ctrl+End lands on the last row');
  const last = await page.evaluate(() => {
    const body = document.querySelector('.fpg-body').getBoundingClientRect();
    const row = document.querySelector('.fpg-row[aria-rowindex="1000001"]').getBoundingClientRect();
    return { inside: row.top >= body.top - 1 && row.bottom <= body.bottom + 1 };
  });
  check.ok(last.inside, 'the last row is in full view');
  await s.press('ArrowDown');
  await s.press('Home');
  await until(check, s.activeName, (name) => name?.startsWith('row 1000001, Tag'), 'the empty row at the bottom');
  await s.press('Control+Home');
  await until(check, s.activeName, 'row 1, Tag, 1000', 'Ctrl+Home');
  await s.press('PageDown');
  await until(check, s.activeName, (name) => Number(name?.match(/row (\d+)/)?.[1]) > 8, 'PageDown');
  await s.press('Control+Home');

  // Two hundred steps, one row each, as a held key sends them.
  for (let step = 0; step < 200; step += 1) await s.press('ArrowDown');
  await until(check, s.activeName, 'row 201, Tag, 1200', '200 arrow keys are 200 rows');

  // Typing replaces, Escape takes back, Enter accepts and goes down.
  await s.go(2, 'birth_weight');
  await s.drawn();
  const before = await s.text(2, 4);
  await page.keyboard.type('77');
  check.equal(await s.editor.inputValue(), '77');
  await s.press('Escape');
  await s.drawn();
  check.equal(await s.text(2, 4), before);
  await page.keyboard.type('77');
  await s.press('Enter');
  await until(check, () => s.text(2, 4), '77', 'typed text is kept');
  await until(check, s.activeName, (name) => name?.startsWith('row 4, Birth weight'), 'Enter goes down');
  await s.press('Shift+Enter');
  await until(check, s.activeName, (name) => name === 'row 3, Birth weight, 77 lb', 'Shift+Enter goes up');

  // F2 edits the raw text; Tab goes right; Enter returns to the column where Tab began.
  await s.press('F2');
  await until(check, () => s.editor.inputValue(), '77', 'F2 opens the raw text');
  await page.keyboard.type('.5');
  await s.press('Tab');
  await until(check, () => s.text(2, 4), '77.5', 'Tab accepts');
  await until(check, s.activeName, (name) => name?.startsWith('row 3, Weaning weight'), 'Tab goes right');
  await page.keyboard.type('501');
  await s.press('Enter');
  await until(check, s.activeName, (name) => name?.startsWith('row 4, Birth weight'), 'Enter returns to the first column of the run');
  await until(check, () => s.text(2, 5), '501', 'second edit');

  // A calculated cell says why; Enter on it asks for its working.
  await s.go(2, 'ratio');
  await until(check, s.activeName, (name) => /^row 3, Ratio, [\d.]+, calculated$/.test(name ?? ''), 'spoken name of a calculated cell');
  await page.keyboard.type('9');
  check.equal(await s.editor.isVisible(), false);
  check.match(await s.note.textContent(), /Ratio is calculated and cannot be typed over/);
  check.match(await s.live.textContent(), /Ratio is calculated/);
  await s.press('Enter');
  await until(check, () => page.locator('#told').textContent(), (text) => text?.startsWith('How ratio'), 'the working is asked for');

  // A refused change gives the old text back and says why.
  await s.go(3, 'note');
  await page.keyboard.type('refuse');
  await s.press('Enter');
  await until(check, () => s.live.textContent(), (text) => /refused/.test(text ?? ''), 'refusal is said');
  check.notEqual(await s.text(3, 12), 'refuse');

  // Undo, redo, clear.
  await s.go(5, 'dam');
  await s.drawn();
  const dam = await s.text(5, 3);
  await s.press('Delete');
  await until(check, () => s.text(5, 3), '', 'Delete clears');
  await s.press('Control+z');
  await until(check, () => s.text(5, 3), dam, 'undo');
  await s.press('Control+Shift+z');
  await until(check, () => s.text(5, 3), '', 'redo');

  // Jumps along the data, range selection.
  await s.go(0, 'birth_weight');
  await s.press('Control+ArrowDown');
  await until(check, s.activeName, (name) => name?.startsWith('row 4, Birth'), 'Ctrl+Down stops before the gap in row 5');
  await s.press('Shift+ArrowDown');
  await s.press('Shift+ArrowRight');
  await s.drawn();
  check.equal(await page.locator('fp-grid [aria-selected=true]').count(), 4);

  // Hostile text stays text.
  check.equal(await page.locator('fp-grid b').count(), 0);
  await s.go(9, 'note');
  await s.drawn();
  check.equal(await s.text(9, 12), '<b>not bold</b>');

  // A remark on a doubtful cell is part of its name.
  await s.go(5, 'weaning_weight');
  await until(check, s.activeName, (name) => /doubtful, A weaning weight over 900 lb/.test(name ?? ''), 'remark');

  // Missing is missing: a calf without a birth weight has no ratio and no bar, and is called empty.
  await s.go(4, 'ratio');
  await until(check, s.activeName, 'row 5, Ratio, empty, calculated', 'an empty calculated cell');
  const bars = (row) => page.locator(`.fpg-row[aria-rowindex="${row + 2}"] .fpg-bar`).isVisible();
  check.deepEqual([await bars(3), await bars(4)], [true, false]);

  // Code columns offer their choices while editing.
  await s.go(5, 'sex');
  await s.press('F2');
  const words = page.getByRole('listbox', { name: 'Words for Sex' });
  const field = page.getByRole('combobox', { name: 'Sex, row 6' });
  check.deepEqual(await words.getByRole('option').allTextContents(), ['bull', 'heifer', 'steer']);
  check.equal(await field.getAttribute('aria-expanded'), 'true');
  await s.press('Escape');
  check.equal(await words.isVisible(), false, 'the list goes with the field');
  await s.press('Alt+ArrowDown');
  check.equal(await words.isVisible(), true, 'Alt+Down opens the list');
  await s.press('ArrowDown');
  await s.press('ArrowDown');
  check.equal(await page.evaluate(() => document.getElementById(document.activeElement.getAttribute('aria-activedescendant'))?.textContent), 'heifer');
  await s.press('Enter');
  await until(check, () => s.text(5, 2), 'heifer', 'Enter takes the word pointed at');
  await s.go(5, 'sex');
  await page.keyboard.type('te');
  check.deepEqual(await words.getByRole('option').allTextContents(), ['steer'], 'typing narrows the list');
  await words.getByRole('option', { name: 'steer' }).click();
  await until(check, () => s.text(5, 2), 'steer', 'a click takes the word');
  await page.keyboard.type('free');
  await s.press('Enter');
  await until(check, () => s.text(5, 2), 'free', 'any other text may be typed');
  await s.go(5, 'sex');
  await s.drawn();
  const box = await page.locator('.fpg-cell.fpg-active').boundingBox();
  await page.mouse.click(box.x + 20, box.y + 20);
  check.equal(await words.isVisible(), true, 'a press on the active cell opens the list');
  await s.press('Escape');

  // One text into every selected cell.
  await s.go(7, 'pasture');
  await s.press('Shift+ArrowDown');
  await page.keyboard.type('Creek');
  await s.press('Control+Enter');
  await until(check, async () => [await s.text(7, 11), await s.text(8, 11)].join(), 'Creek,Creek', 'Ctrl+Enter fills the selection');

  // New rows by typing below the last one.
  await s.press('Control+End');
  await s.press('ArrowDown');
  await s.press('Home');
  await page.keyboard.type('9999');
  await s.press('Enter');
  await until(check, () => s.grid.getAttribute('aria-rowcount'), '1000003', 'a row is added');
  await until(check, () => s.text(1_000_000, 0), '9999', 'the added row shows');

  // A way out: Escape, then Tab.
  await s.press('Escape');
  await s.press('Tab');
  check.equal(await page.evaluate(() => document.activeElement.closest('fp-grid')), null, 'Escape then Tab leaves');
}, {});

await journey('composing text on the sheet (IME)', async ({ page, context, check }) => {
  await page.goto(demo('rows=50'));
  const s = sheetOf(page);
  await s.go(1, 'note');
  const client = await context.newCDPSession(page);
  // What a composing keyboard sends first: a key without text, code 229.
  await client.send('Input.dispatchKeyEvent', { type: 'rawKeyDown', windowsVirtualKeyCode: 229, key: 'Process', code: 'KeyK' });
  check.ok(await s.editor.isVisible(), 'the field has the focus before the composition starts');
  await client.send('Input.imeSetComposition', { text: 'か', selectionStart: 1, selectionEnd: 1 });
  await client.send('Input.dispatchKeyEvent', { type: 'rawKeyDown', windowsVirtualKeyCode: 229, key: 'Process', code: 'Enter' });
  check.ok(await s.editor.isVisible(), 'Enter inside a composition does not close the field');
  await client.send('Input.insertText', { text: '牛' });
  await s.press('Enter');
  await until(check, () => s.text(1, 12), '牛', 'composed text is kept');
});

await journey('clipboard on the sheet', async ({ page, context, check }) => {
  await context.grantPermissions(['clipboard-read', 'clipboard-write']);
  await page.goto(demo());
  const s = sheetOf(page);
  await s.go(10, 'tag');
  await s.press('Shift+ArrowDown');
  await s.press('Shift+ArrowRight');
  await s.drawn();
  await s.press('Control+c');
  await until(check, () => page.evaluate(() => navigator.clipboard.readText()),
    (text) => /^1010\t2026-\d\d-\d\d\r?\n1011\t2026-\d\d-\d\d$/.test(text), 'copied text');
  const types = await page.evaluate(async () => (await navigator.clipboard.read())[0].types);
  check.ok(types.includes('text/html'));

  // 1,000 x 5, and the time until every cell is acknowledged.
  const block = Array.from({ length: 1000 }, (_, row) => [`N${row}`, '2026-03-01', 'bull', `C${row}`, String(60 + (row % 30))].join('\t')).join('\n');
  await page.evaluate((text) => navigator.clipboard.writeText(text), block);
  await page.evaluate(() => {
    const sheet = document.querySelector('fp-grid');
    globalThis.pasteTimes = {};
    sheet.addEventListener('paste', () => { globalThis.pasteTimes.start = performance.now(); }, true);
    sheet.addEventListener('fp-edit', ({ detail }) => {
      globalThis.pasteTimes.sent = performance.now();
      globalThis.pasteTimes.nCells = detail.cells.length;
      requestAnimationFrame(() => setTimeout(() => { globalThis.pasteTimes.shown = performance.now(); }));
    });
  });
  await s.go(100, 'tag');
  await s.press('Control+v');
  await until(check, () => s.text(100, 0), 'N0', 'first pasted cell');
  await until(check, () => s.live.textContent(), 'Pasted 5,000 cells.', 'paste is reported');
  const times = await page.evaluate(() => globalThis.pasteTimes);
  check.equal(times.nCells, 5000);
  console.log(`  paste 1,000 x 5: ${(times.sent - times.start).toFixed(1)} ms to the event, ${(times.shown - times.start).toFixed(1)} ms to the next painted frame`);
  await s.go(1099, 'tag');
  await until(check, () => s.text(1099, 0), 'N999', 'last pasted cell');
  check.equal(await s.text(1099, 4), '69');
  await s.press('Control+z');
  await until(check, () => s.text(1099, 0), '2099', 'one undo takes the whole paste back');

  // One value into a range; cells that cannot be typed over are counted.
  await page.evaluate(() => navigator.clipboard.writeText('7'));
  await s.go(20, 'weighed');
  for (const key of ['Shift+ArrowRight', 'Shift+ArrowDown', 'Shift+ArrowDown']) await s.press(key);
  await s.press('Control+v');
  await until(check, () => s.live.textContent(), 'Pasted 3 cells. 3 cells in columns that cannot be typed over left alone.', 'skipped cells are said');
  for (const row of [20, 21, 22]) check.equal(await s.text(row, 6), '7');

  // Cut takes away what it copied.
  await s.go(30, 'dam');
  await s.drawn();
  const dam = await s.text(30, 3);
  await s.press('Control+x');
  await until(check, () => s.text(30, 3), '', 'cut clears');
  check.equal(await page.evaluate(() => navigator.clipboard.readText()), dam);

  // Copying rows that are not on the screen.
  await s.go(0, 'tag');
  await s.press('Control+ArrowDown');
  await s.go(0, 'tag');
  await page.evaluate(() => { const g = document.querySelector('fp-grid'); g.select({ row: 0, column: 0 }, { row: 4999, column: 0 }); });
  await s.press('Control+c');
  await until(check, () => page.evaluate(() => navigator.clipboard.readText().then((text) => text.split(/\r?\n/).length)), 5000, 'rows off the screen are copied');

  // Ctrl+D and the fill handle.
  await s.go(40, 'pasture');
  await page.keyboard.type('Hill');
  await s.press('Enter');
  await s.go(40, 'pasture');
  for (const key of ['Shift+ArrowDown', 'Shift+ArrowDown', 'Control+d']) await s.press(key);
  await until(check, () => s.text(42, 11), 'Hill', 'Ctrl+D fills down');
  await s.go(40, 'pasture');
  await s.drawn();
  const handle = await page.locator('.fpg-fill').boundingBox();
  await page.mouse.move(handle.x + 4, handle.y + 4);
  await page.mouse.down();
  await page.mouse.move(handle.x + 4, handle.y + 4 + 44 * 4, { steps: 5 });
  await page.mouse.up();
  await until(check, () => s.text(44, 11), 'Hill', 'the handle fills down');

  // A table of another program, whose plain text has lost its shape; what it holds stays text.
  await s.go(60, 'tag');
  await page.evaluate(() => {
    const data = new DataTransfer();
    data.setData('text/plain', 'H1\n2026-03-02\tbull\nH2\t2026-03-03\theifer');
    data.setData('text/html', '<meta charset=utf-8><table><tr><th>H1<br>old</th><td>2026-03-02</td><td>bull<script>globalThis.ran = 1</script></td></tr>'
      + '<tr><td colspan=2><img src=x onerror="globalThis.ran = 1">H2</td><td>heifer</td></tr></table>');
    document.querySelector('[role=grid]').dispatchEvent(new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true }));
  });
  await until(check, () => s.text(61, 2), 'heifer', 'a pasted table');
  check.deepEqual([await s.text(60, 0), await s.text(60, 1), await s.text(60, 2), await s.text(61, 0), await s.text(61, 1)], ['H1 old', '2026-03-02', 'bull', 'H2', '']);
  check.equal(await page.evaluate(() => globalThis.ran), undefined, 'nothing of the table ran');

  // A paste past the end asks for rows, in one act.
  const nRows = Number(await s.grid.getAttribute('aria-rowcount'));
  await page.evaluate(() => navigator.clipboard.writeText('Z1\nZ2\nZ3\n'));
  await page.evaluate(() => { const g = document.querySelector('fp-grid'); g.goTo(g.nRows - 1, 'tag'); });
  await s.press('Control+v');
  await until(check, () => s.grid.getAttribute('aria-rowcount').then(Number), nRows + 2, 'two rows are added');
  await until(check, () => s.live.textContent(), 'Pasted 3 cells. 2 rows added.', 'added rows are said');
});

await journey('sorting, filters and widths on the sheet', async ({ page, check }) => {
  await page.goto(demo('rows=2000'));
  const s = sheetOf(page);
  const head = (name) => page.getByRole('columnheader', { name: new RegExp(`^${name}`) });
  await s.go(0, 'birth_weight');
  await head('Birth weight').locator('.fpg-sort').click();
  await until(check, () => head('Birth weight').getAttribute('aria-sort'), 'ascending', 'aria-sort');
  await until(check, () => s.text(0, 4), '62', 'lowest first');
  await head('Tag').locator('.fpg-sort').click({ modifiers: ['Shift'] });
  await until(check, () => head('Tag').locator('.fpg-sort-mark').textContent(), '▲2', 'second key is numbered');
  await until(check, () => head('Birth weight').locator('.fpg-sort-mark').textContent(), '▲1', 'first key is numbered');
  await head('Birth weight').locator('.fpg-sort').click();
  await until(check, () => head('Birth weight').getAttribute('aria-sort'), 'descending', 'second click');
  check.equal(await head('Tag').getAttribute('aria-sort'), null);

  // The same by keyboard: up into the heads.
  await s.go(0, 'dam');
  await s.press('ArrowUp');
  await until(check, () => head('Dam').getAttribute('class'), (look) => /fpg-active/.test(look), 'the head is active');
  check.equal(await s.grid.getAttribute('aria-activedescendant'), await head('Dam').getAttribute('id'));
  await s.press('Enter');
  await until(check, () => head('Dam').getAttribute('aria-sort'), 'ascending', 'Enter sorts');
  const width = (await head('Dam').boundingBox()).width;
  await s.press('Shift+ArrowRight');
  await s.press('Shift+ArrowRight');
  await until(check, async () => (await head('Dam').boundingBox()).width, width + 16, 'keys change the width');
  const edge = await head('Dam').locator('.fpg-edge').boundingBox();
  await page.mouse.move(edge.x + 6, edge.y + 20);
  await page.mouse.down();
  await page.mouse.move(edge.x + 66, edge.y + 20, { steps: 4 });
  await page.mouse.up();
  await until(check, async () => (await head('Dam').boundingBox()).width, width + 76, 'the pointer changes the width');
  check.equal((await page.locator('.fpg-row [aria-colindex="4"]').first().boundingBox()).width, width + 76);

  await page.locator('#filters').click();
  await page.getByLabel('Tag contains').fill('100');
  await until(check, () => s.grid.getAttribute('aria-rowcount').then(Number), (rows) => rows < 200, 'text filter');
  await page.getByLabel('Tag contains').fill('');
  await page.getByRole('button', { name: 'Choose values of Sex' }).click();
  const list = page.getByRole('dialog', { name: 'Values of Sex' });
  await list.getByRole('button', { name: 'None' }).click();
  await list.getByLabel(/^heifer/).check();
  await list.getByRole('button', { name: 'Show these' }).click();
  await until(check, () => s.text(0, 2), 'heifer', 'value filter');
  check.equal(await page.getByRole('button', { name: 'Choose values of Sex' }).evaluate((button) => button === document.activeElement), true, 'focus comes back');

  // By keyboard: up from the first row, down into the list, Escape back.
  await s.go(0, 'pasture');
  await s.press('ArrowUp');
  check.equal(await page.evaluate(() => document.activeElement.getAttribute('aria-label')), 'Pasture contains');
  await s.press('Alt+ArrowDown');
  await page.getByRole('dialog', { name: 'Values of Pasture' }).waitFor();
  await s.press('Escape');
  await page.locator('dialog').waitFor({ state: 'detached' });
});

await journey('scrolling a million rows', async ({ page, check }) => {
  await page.goto(demo());
  const s = sheetOf(page);
  await s.go(500_000, 'tag');
  await s.drawn();
  const body = await page.locator('.fpg-body').boundingBox();
  await page.mouse.move(body.x + 300, body.y + 100);
  const start = await s.firstRow();
  for (let step = 1; step <= 5; step += 1) {
    await page.mouse.wheel(0, 44);
    await until(check, s.firstRow, start + step, `wheel step ${step} moves one row`);
  }
  await page.waitForTimeout(400);
  check.equal(await s.firstRow(), start + 5, 'bringing the thumb back in line moves no row');

  // The thumb's far ends.
  await page.evaluate(() => { const g = document.querySelector('[role=grid]'); g.scrollTop = g.scrollHeight; });
  await until(check, () => s.text(999_999, 0), '1000999', 'the far end shows the last row');
  await page.evaluate(() => { document.querySelector('[role=grid]').scrollTop = 0; });
  await until(check, () => s.text(0, 0), '1000', 'the near end shows the first row');

  const frames = (name, drive) => page.evaluate(async ([how, label]) => {
    const grid = document.querySelector('[role=grid]');
    const times = [];
    let blank = 0;
    const moved = [];
    const watch = new PerformanceObserver((list) => { 
      // A shorter number in a right-aligned cell begins further right; that is new text, not a moved box.
      for (const { node } of list.getEntries().flatMap((entry) => entry.sources)) {
        if (!(node instanceof Text && node.parentElement?.matches('.fpg-cell'))) moved.push(node?.className || node?.nodeName || 'unknown');
      }
    });
    watch.observe({ type: 'layout-shift' });
    let last = performance.now();
    const end = last + 3000;
    let step = 0;
    await new Promise((done) => {
      const frame = (now) => {
        times.push(now - last);
        last = now;
        const middle = document.elementFromPoint(40, grid.getBoundingClientRect().top + 300);
        if (!middle?.textContent) blank += 1;
        step += 1;
        if (how === 'wheel') grid.scrollTop += 30;
        else if (how === 'thumb') grid.scrollTop = ((step * 37) % 300) / 300 * grid.scrollHeight;
        else grid.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowDown', bubbles: true, cancelable: true }));
        if (now < end) requestAnimationFrame(frame); else done();
      };
      requestAnimationFrame(frame);
    });
    watch.disconnect();
    times.sort((a, b) => a - b);
    const at = (share) => times[Math.min(times.length - 1, Math.floor(times.length * share))].toFixed(1);
    return { text: `${label}: ${times.length} frames, p50 ${at(0.5)} ms, p95 ${at(0.95)} ms, longest ${at(1)} ms, blank ${blank}`, blank, moved };
  }, [drive, name]);
  await s.go(300_000, 'tag');
  for (const [name, drive] of [['smooth scroll', 'wheel'], ['thumb jumps', 'thumb'], ['held arrow key', 'key']]) {
    const { text, blank, moved } = await frames(name, drive);
    console.log(`  ${text}`);
    check.equal(blank, 0, `${name}: no blank frame`);
    check.deepEqual(moved, [], `${name}: no layout shift`);
  }
});

for (const theme of ['light', 'dark', 'sun']) {
  await journey(`the sheet passes axe, ${theme}`, async ({ page, check, axe, screenshot }) => {
    await page.goto(demo(`rows=5000&theme=${theme}`));
    const s = sheetOf(page);
    await s.go(4, 'weaning_weight');
    await page.locator('#filters').click();
    await s.go(5, 'weaning_weight');
    await s.press('Shift+ArrowDown');
    await s.press('Shift+ArrowLeft');
    await s.drawn();
    await axe(`the sheet, ${theme}`);
    await screenshot(`grid-1280-${theme}`);
    await page.getByRole('button', { name: 'Choose values of Pasture' }).click();
    await page.getByRole('dialog').waitFor();
    await axe(`the list of values, ${theme}`);
    await screenshot(`grid-1280-${theme}-values`);
    await s.press('Escape');
    await page.locator('dialog').waitFor({ state: 'detached' });
    await s.go(3, 'note');
    await page.keyboard.type('half a sentence');
    check.equal(await s.editor.inputValue(), 'half a sentence');
    await axe(`the field, ${theme}`);
    await s.press('Escape');
    await s.go(8, 'ratio');
    await page.keyboard.type('1');
    await s.drawn();
    await screenshot(`grid-1280-${theme}-right`);
    await page.setViewportSize({ width: 1920, height: 1080 });
    await page.locator('#density').click();
    await s.drawn();
    await screenshot(`grid-1920-${theme}`);
  });
}

await journey('the sheet under a finger', async ({ page, context, check, axe, screenshot }) => {
  await page.goto(demo('theme=light'));
  const s = sheetOf(page);
  await s.go(0, 'tag');
  await s.drawn();
  const cell = (row, column) => page.evaluate(([r, c]) => {
    const box = document.querySelector(`.fpg-row[aria-rowindex="${r + 2}"] [aria-colindex="${c + 1}"]`).getBoundingClientRect();
    return { x: box.x + box.width / 2, y: box.y + box.height / 2, height: box.height };
  }, [row, column]);
  const born = await cell(2, 1);
  check.ok(born.height >= 44, 'touch targets are 44 px');
  await page.touchscreen.tap(born.x, born.y);
  await until(check, s.activeName, (name) => name?.startsWith('row 3, Born'), 'a tap selects');
  check.equal(await s.editor.isVisible(), false);
  await page.waitForTimeout(450);
  await page.touchscreen.tap(born.x, born.y);
  await page.touchscreen.tap(born.x, born.y);
  await s.editor.waitFor();
  await s.press('Escape');

  // A long press extends from the selected cell.
  const client = await context.newCDPSession(page);
  const far = await cell(5, 2);
  await client.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: [{ x: far.x, y: far.y }] });
  await page.waitForTimeout(700);
  await client.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
  await until(check, () => page.locator('fp-grid [aria-selected=true]').count(), 8, 'a long press extends');

  // A finger that pans moves the rows by as much as it moved, and selects nothing.
  const name = await s.activeName();
  const pan = async (from, to) => {
    const at = (y) => ({ touchPoints: [{ x: 200, y }] });
    await client.send('Input.dispatchTouchEvent', { type: 'touchStart', ...at(from) });
    for (let step = 1; step <= 12; step += 1) {
      await client.send('Input.dispatchTouchEvent', { type: 'touchMove', ...at(from + ((to - from) * step) / 12) });
      await s.drawn();
    }
    await page.waitForTimeout(150);
    await client.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
  };
  await pan(600, 380);
  await until(check, s.firstRow, (row) => row >= 4 && row <= 5, 'a pan of 220 px is five rows');
  await pan(380, 600);
  await until(check, s.activeName, name, 'the selection stayed');
  check.equal(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), true, 'the page does not scroll sideways');
  await axe('the sheet at 390 px');
  await screenshot('grid-390-light');
}, { viewport: { width: 390, height: 844 }, context: { hasTouch: true, isMobile: true } });

await server.stop();
rmSync(site, { recursive: true, force: true });
