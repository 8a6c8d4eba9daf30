// A book from elsewhere can do no harm: what stands in it is shown as text, what does not fit is refused with a
// sentence, and the book that was open stays open and as it was.

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { journey } from '../harness.mjs';
import { bringIn, goTo, openSample, sheetOf, until } from '../steps.mjs';
import { bookOf, manyZeros, zipOf } from '../zip-file.mjs';

const MARKUP = '<img src=x onerror="globalThis.harmed=1"><script>globalThis.harmed=1</script>';
const SCRIPT_LINK = 'javascript:globalThis.harmed=1';
const LINK = '=HYPERLINK("https://example.invalid/?"&A1;"click")';
const quoted = (text) => `"${text.replaceAll('"', '""')}"`;
const known = (name) => ({ name, fairpen: { origin: 'known' } });
const CALVES = ['tag', 'sex', 'birth_date', 'wean_date', 'wean_weight', 'dam_age', 'management', 'note'];

/** Calves whose every free text means harm. */
function hostile() {
  const fields = [...CALVES.map(known), { name: 'mark', title: MARKUP, fairpen: { origin: 'own', kind: 'text', header: LINK } },
    { name: 'sum', title: `${LINK} ${MARKUP}`, fairpen: { origin: 'own', kind: 'number', formula: 'wean_weight * 2' } }];
  const rows = Array.from({ length: 24 }, (_, at) => [
    quoted(at % 3 ? `${at} ${MARKUP}` : `${LINK}${at}`), at % 2 ? 'steer' : 'heifer', `2026-03-${String(1 + at % 20).padStart(2, '0')}`, '2026-10-01', 480 + at * 3, 5,
    quoted(at % 2 ? MARKUP : SCRIPT_LINK), quoted(LINK), quoted(`@SUM(1)|cmd ${MARKUP}`), '',
  ].join(','));
  return bookOf({ title: `${MARKUP}${LINK}`, sheets: [{ name: 'calves', fields, csv: `${[...CALVES, 'mark', 'sum'].join(',')}\n${rows.join('\n')}\n` }] });
}

await journey('markup and formulas in a book are text', async ({ open, page, context, temporary, check, axe, screenshot }) => {
  await open('');
  await openSample(page);
  await bringIn(page, `${MARKUP}.zip`, hostile());
  await until(check, () => page.locator('.book-name').innerText(), `${MARKUP}${LINK}`, 'its name is shown as it is written');
  const sheet = sheetOf(page);
  for (const place of ['fair', 'calves', 'groups', 'compare', 'compare/management', 'problems', 'pad', 'versions', 'settings', 'start', 'hand-over']) {
    await goTo(page, place);
    await page.evaluate(() => new Promise((done) => setTimeout(done, 400)));
    check.equal(await page.evaluate(() => globalThis.harmed), undefined, `nothing ran on ${place}`);
    const strange = await page.evaluate(() => [...document.querySelectorAll('main script, main img[src=x], a[href^="javascript:" i], iframe:not([sandbox])')].map((one) => one.outerHTML.slice(0, 120)));
    check.deepEqual(strange, [], `no markup of the book became markup on ${place}`);
  }
  await goTo(page, 'calves');
  await page.locator('fp-sheet fp-grid[data-ready]').waitFor();
  await sheet.go(1, 'tag');
  await until(check, () => sheet.text(1, 'tag'), `1 ${MARKUP}`, 'a cell is shown as it is written');
  await until(check, () => sheet.text(0, 'tag'), `${LINK}0`, 'so is a formula in a cell');
  await axe('a hostile book');
  await screenshot('hostile-book-1280');

  // What goes out of it does no harm in another program either.
  await goTo(page, 'hand-over');
  await page.locator('fp-hand-over-rows tbody tr').first().waitFor();
  const [table] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Fair weights as CSV' }).click()]);
  check.ok(!/(^|,)"?[=@+]/m.test(readFileSync(await table.path(), 'utf8')), 'no cell of the table begins as a formula');
  await page.getByRole('button', { name: 'All', exact: true }).click();
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Make the file' }).click()]);
  check.match(download.suggestedFilename(), /^[\p{L}\p{N}-]+\.html$/u, 'its name goes nowhere else');
  const path = join(temporary, 'results.html');
  await download.saveAs(path);
  const file = await context.newPage();
  await file.goto(pathToFileURL(path).href);
  await file.locator('table tbody tr').first().waitFor();
  check.equal(await file.evaluate(() => globalThis.harmed), undefined, 'nothing ran in the results file');
  check.equal(await file.locator('img[src=x], a[href^="javascript:" i]').count(), 0);
});

const simple = { name: 'calves', fields: [known('tag')], csv: 'tag\n1\n' };
const REFUSED = [
  ['a ZIP that is no book', zipOf([{ name: 'a.txt', bytes: Buffer.from('hello') }])],
  ['no ZIP at all', Buffer.concat([Buffer.from('PK\x03\x04', 'latin1'), Buffer.alloc(500, 7)])],
  ['a book cut short', bookOf({ sheets: [simple] }).subarray(0, 400)],
  ['a book of a later version', bookOf({ sheets: [simple], version: 99 })],
  ['a ZIP bomb that says its size', bookOf({ sheets: [simple], more: [{ name: 'calves.csv', packed: manyZeros(1100), states: 1100 << 20 }] })],
  ['a ZIP bomb that lies', bookOf({ sheets: [simple], more: [{ name: 'calves.csv', packed: manyZeros(1100), states: 6 }] })],
  ['a bomb for a description', bookOf({ sheets: [simple], more: [{ name: 'settings.json', packed: manyZeros(40), states: 100 }] })],
  ['too many files', bookOf({ sheets: [simple], more: Array.from({ length: 80 }, (_, at) => ({ name: `${at}.csv`, bytes: Buffer.from('x') })) })],
  ['more rows than a sheet takes', bookOf({ sheets: [{ ...simple, csv: `tag\n${'1\n'.repeat(2_000_001)}` }] })],
  ['more columns than a sheet takes', bookOf({ sheets: [{
    name: 'calves', fields: Array.from({ length: 400 }, (_, at) => ({ name: `c${at}`, fairpen: { origin: 'own', kind: 'text' } })),
    csv: `${Array.from({ length: 400 }, (_, at) => `c${at}`).join(',')}\n${'x,'.repeat(399)}x\n`,
  }] })],
  ['a path out of the file', bookOf({ sheets: [{ name: 'calves', path: '../../../../etc/hostname', fields: [known('tag')] }] })],
  ['a sheet that stands twice', bookOf({ sheets: [simple, simple] })],
  ['cells beyond the header', bookOf({ sheets: [{ ...simple, csv: 'tag\n1,2,3\n' }] })],
  ['a description nested deep', bookOf({ sheets: [simple], more: [{ name: 'settings.json', bytes: Buffer.from(`${'['.repeat(200_000)}`) }] })],
];

await journey('what is no book, or too much of one, is refused and changes nothing', async ({ open, page, check }) => {
  await open('');
  await openSample(page);
  await goTo(page, 'calves');
  const sheet = sheetOf(page);
  await page.locator('fp-sheet fp-grid[data-ready]').waitFor();
  await sheet.go(0, 'note');
  await page.keyboard.type('mine');
  await page.keyboard.press('Enter');
  await until(check, () => page.locator('.saved').innerText(), (text) => /^Saved here/.test(text), 'it is saved');
  for (const [what, bytes] of REFUSED) {
    const before = Date.now();
    await bringIn(page, 'from-elsewhere.zip', bytes);
    const notice = page.locator('.notice').first();
    await notice.waitFor().catch(() => check.fail(`${what}: nothing was said`));
    const said = await notice.innerText();
    check.ok(said.length > 40 && !/wasm|unreachable|undefined|engine stopped/i.test(said), `${what}: ${said}`);
    check.ok(Date.now() - before < 15_000, `${what}: refused after ${Date.now() - before} ms`);
    check.equal(await page.locator('.book-name').innerText(), 'Two barns (invented)', `${what}: the open book stays`);
    await page.getByRole('button', { name: 'Put away' }).first().click();
  }
  check.equal(await page.locator('.notice').count(), 0);
  await sheet.go(0, 'note');
  await until(check, () => sheet.text(0, 'note'), 'mine', 'and as it was');
  await page.reload();
  await page.locator('fp-sheet fp-grid[data-ready]').waitFor();
  await sheet.go(0, 'note');
  await until(check, () => sheet.text(0, 'note'), 'mine', 'also after a restart');
  await goTo(page, 'start');
  await until(check, () => page.locator('.books li').count(), 1, 'no half of another book is kept');
});

await journey('strange paths and names inside a book that opens', async ({ open, page, check }) => {
  await open('');
  await openSample(page);
  const outside = '../../../outside.csv';
  const deep = '('.repeat(3000) + '1' + ')'.repeat(3000);
  await bringIn(page, 'paths.zip', bookOf({
    title: '../../../evil',
    sheets: [{ name: 'calves', path: outside, fields: [known('tag'), { name: 'deep', title: 'Deep', fairpen: { origin: 'own', kind: 'number', formula: deep } },
      { name: 'round', title: 'Round', fairpen: { origin: 'own', kind: 'number', formula: 'round + 1' } }], csv: 'tag,deep,round\n__proto__,,\nconstructor,,\n' },
    { name: '__proto__', fields: [known('tag')], csv: 'tag\n1\n' }],
  }));
  await until(check, () => page.locator('.book-name').innerText(), '../../../evil', 'a name is a name');
  await goTo(page, 'calves');
  const sheet = sheetOf(page);
  await page.locator('fp-sheet fp-grid[data-ready]').waitFor();
  await until(check, () => sheet.text(0, 'tag'), '__proto__', 'a tag is a tag');
  await goTo(page, 'hand-over');
  const [copy] = await Promise.all([page.waitForEvent('download'), page.locator('[aria-labelledby=copy]').getByRole('button', { name: 'Save a copy' }).click()]);
  check.equal(copy.suggestedFilename(), 'evil.zip', 'the file is saved among the downloads');
});
