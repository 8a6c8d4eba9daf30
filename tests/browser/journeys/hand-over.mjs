// She hands over one file: what goes is shown first; the file opens from disk and asks nobody for anything.

import { readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { journey } from '../harness.mjs';
import { goTo, openSample, until } from '../steps.mjs';

await journey('one file to hand over', async ({ open, page, context, temporary, check, screenshot, axe }) => {
  await open('');
  await openSample(page);
  await goTo(page, 'hand-over');
  await page.locator('fp-hand-over-rows tbody tr').first().waitFor();
  check.match(await page.locator('.going').innerText(), /18\d calves/);
  check.ok((await page.locator('.going li').count()) >= 1, 'what stays home is said');
  const note = page.locator('.columns-choice').getByLabel('Note', { exact: true });
  check.equal(await note.isChecked(), false, 'notes stay home unless she says otherwise');

  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Make the file' }).click()]);
  check.match(download.suggestedFilename(), /\.html$/);
  const path = join(temporary, download.suggestedFilename());
  await download.saveAs(path);
  check.ok(statSync(path).size < 1_000_000, `${statSync(path).size} bytes`);
  const text = readFileSync(path, 'utf8');
  check.ok(!text.includes('Invented record: Madeup Creek'), 'a private note is not in the text of the file');
  await screenshot('hand-over-made-1280');
  await page.getByText('Preview, as it reads with scripts off').click();
  await page.frameLocator('iframe.preview').locator('table').first().waitFor();

  const file = await context.newPage();
  const asked = [];
  file.on('request', (request) => asked.push(request.url()));
  await file.goto(pathToFileURL(path).href);
  await file.locator('table').first().waitFor();
  check.deepEqual(asked.filter((url) => !/^(blob|data):/.test(url)), [pathToFileURL(path).href], 'the file asks nobody for anything');
  check.ok((await file.locator('table').first().locator('tbody tr').count()) > 20, 'the calves are on it');
  await axe('the results file', file);
  await screenshot('results-file-1280', file);
});

await journey('tables and a copy of the book', async ({ open, page, temporary, check }) => {
  await open('');
  await openSample(page);
  await goTo(page, 'hand-over');
  for (const [name, first] of [['Fair weights as CSV', /adj_205_weight/], ['Groups as CSV', /contemporary_group/], ['Problems as CSV', /code|place/]]) {
    const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name }).click()]);
    const path = join(temporary, download.suggestedFilename());
    await download.saveAs(path);
    check.match(readFileSync(path, 'utf8').split('\n')[0], first);
  }
  const [copy] = await Promise.all([page.waitForEvent('download'), page.locator('[aria-labelledby=copy]').getByRole('button', { name: 'Save a copy' }).click()]);
  const path = join(temporary, copy.suggestedFilename());
  await copy.saveAs(path);
  check.equal(readFileSync(path).subarray(0, 2).toString(), 'PK', 'the copy is a ZIP');

  // The copy comes in again as a book of its own, with the same answer.
  await goTo(page, 'fair');
  const sentence = await page.locator('.sentence').innerText();
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: /^Bring in/ }).click()]);
  await chooser.setFiles(path);
  await until(check, () => page.locator('.sample-note').count(), 0, 'the copy is not marked as the sample any more');
  await until(check, () => page.locator('.sentence').innerText(), sentence, 'the copy says the same');
  await goTo(page, 'start');
  await until(check, () => page.locator('.books li').count(), 2, 'both books are kept');
  await page.locator('.books li').first().getByRole('button', { name: 'Remove' }).click();
  await page.getByRole('dialog').getByRole('button', { name: 'Remove it' }).click();
  await until(check, () => page.locator('.books li').count(), 1, 'one is removed after asking');
});
