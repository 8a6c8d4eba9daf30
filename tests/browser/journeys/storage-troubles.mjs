// What storage does to a book: torn and strange records, a full disk, a cleared database, a browser killed while it
// writes, an older and a later form. What was acknowledged is there, and what is not is said.

import { join } from 'node:path';
import { browserOfItsOwn } from '../browser-process.mjs';
import { journey } from '../harness.mjs';
import { atTheDoors, bringIn, goTo, openSample, sheetOf, until } from '../steps.mjs';

const savedWords = (page) => page.locator('.saved').innerText();
const saved = (page, check, patience) => until(check, () => savedWords(page), (text) => /^Saved here/.test(text), 'it is saved', patience);
const notice = (page, text) => page.locator('.notice').getByText(text);

async function notes(page, from, texts) {
  await goTo(page, 'calves');
  const sheet = sheetOf(page);
  await page.locator('fp-sheet fp-grid[data-ready]').waitFor();
  await sheet.go(from, 'note');
  for (const text of texts) {
    await page.keyboard.type(text);
    await page.keyboard.press('Enter');
  }
}
async function noteIs(page, check, row, text) {
  await goTo(page, 'calves');
  const sheet = sheetOf(page);
  await page.locator('fp-sheet fp-grid[data-ready]').waitFor();
  await sheet.go(row, 'note');
  await until(check, () => sheet.text(row, 'note'), text, `the note of row ${row + 1}`);
}

/** Leaves the program for a page of the same site that is not it. */
const away = (page, server) => page.goto(`${server.address}icon.svg`);
/** Chromium asks for a sign of that page, which has none. */
const NO_SIGN = /404 \(Not Found\)/;

/** Works on a store of the database behind the page's back; `act` is handed the store and all its values. */
const onStore = (page, store, act) => page.evaluate(([name, text]) => new Promise((resolve, reject) => {
  const request = indexedDB.open('fairpen');
  request.onerror = () => reject(request.error);
  request.onsuccess = () => {
    const db = request.result;
    const tx = db.transaction(name, 'readwrite');
    const all = tx.objectStore(name).getAll();
    all.onsuccess = () => ({
      tear: (values) => {
        const last = values.at(-1);
        tx.objectStore(name).put({ ...last, record: last.record.slice(0, last.record.length - 7) });
      },
      later: (values) => {
        const last = values.at(-1);
        const record = last.record.slice();
        record[3] = 9;
        tx.objectStore(name).put({ ...last, record });
      },
      look: () => undefined,
    })[text](all.result);
    tx.oncomplete = () => { db.close(); resolve(all.result.length); };
    tx.onerror = () => reject(tx.error);
  };
}), [store, act]);

for (const [name, act, says] of [
  ['a torn last record', 'tear', /the end of the journal, which is damaged/],
  ['a record of a later version', 'later', /a change written by a later version of Fairpen/],
]) {
  await journey(name, async ({ open, page, server, check, axe, expectTrouble }) => {
    expectTrouble(NO_SIGN);
    await open('');
    await openSample(page);
    await notes(page, 0, ['one', 'two', 'three']);
    await saved(page, check);
    // The tab is gone before the record is spoilt, as after a crash.
    await away(page, server);
    check.ok((await onStore(page, 'journal', act)) >= 3, 'the journal holds the notes');
    await page.goto(`${server.address}#calves`);
    await notice(page, says).waitFor();
    await notice(page, /kept apart on this device/).waitFor();
    await axe(name);
    await noteIs(page, check, 0, 'one');
    await noteIs(page, check, 1, 'two');
    await noteIs(page, check, 2, '');

    // What is typed from now on does not stand behind the damage.
    await notes(page, 2, ['three again']);
    await saved(page, check);
    await page.reload();
    await noteIs(page, check, 1, 'two');
    await noteIs(page, check, 2, 'three again');
    check.equal(await page.locator('.notice').count(), 0, 'it is said once');
    await goTo(page, 'versions');
    await page.getByText(/Before changes that could not be read were set aside/).waitFor();
    await away(page, server);
    check.ok((await onStore(page, 'aside', 'look')) >= 3, 'nothing is thrown away');
  });
}

await journey('a full disk, and room again', async ({ open, page, context, server, check, axe, screenshot }) => {
  await open('');
  await openSample(page);
  await notes(page, 0, ['fits']);
  await saved(page, check);
  const cdp = await context.newCDPSession(page);
  const origin = new URL(server.address).origin;
  await cdp.send('Storage.overrideQuotaForOrigin', { origin, quotaSize: 1 });
  // Chromium may trust its last count of the room for half a minute.
  let n = 0;
  await until(check, async () => {
    n += 1;
    await notes(page, 1, [`too much ${n}`]);
    await new Promise((done) => setTimeout(done, 1_000));
    return savedWords(page);
  }, 'Not saved, trying again', 'the change is not called saved', 60_000);
  await notice(page, /did not keep the last change/).waitFor();
  await axe('a full disk');
  await screenshot('not-saved-1280');
  await notes(page, 2, ['and more']);
  await until(check, () => savedWords(page), 'Not saved, trying again', 'nor is the next');
  const [download] = await Promise.all([page.waitForEvent('download'), page.locator('.notice').getByRole('button', { name: 'Save a copy' }).click()]);
  check.match(download.suggestedFilename(), /\.zip$/, 'the book can be saved as a file meanwhile');
  await noteIs(page, check, 1, `too much ${n}`);

  // Room again: it is saved without anything being done.
  await cdp.send('Storage.overrideQuotaForOrigin', { origin });
  await saved(page, check, 70_000);
  check.equal(await notice(page, /did not keep/).count(), 0, 'the warning is gone');
  await page.reload();
  await noteIs(page, check, 0, 'fits');
  await noteIs(page, check, 1, `too much ${n}`);
  await noteIs(page, check, 2, 'and more');
});

await journey('the database is cleared under the open page', async ({ open, page, context, server, check }) => {
  await open('');
  await openSample(page);
  await notes(page, 0, ['before']);
  await saved(page, check);
  const cdp = await context.newCDPSession(page);
  await cdp.send('Storage.clearDataForOrigin', { origin: new URL(server.address).origin, storageTypes: 'indexeddb' });
  await notice(page, /browser cleared what it kept of this book/).waitFor();
  await notes(page, 1, ['after']);
  await saved(page, check);
  await noteIs(page, check, 0, 'before');
  await page.reload();
  await noteIs(page, check, 0, 'before');
  await noteIs(page, check, 1, 'after');
});

await journey('the database is deleted by another page', async ({ open, page, context, server, check, expectTrouble }) => {
  expectTrouble(NO_SIGN);
  await open('');
  await openSample(page);
  await notes(page, 0, ['before']);
  await saved(page, check);
  const other = await context.newPage();
  await away(other, server);
  await other.evaluate(() => new Promise((resolve, reject) => {
    const request = indexedDB.deleteDatabase('fairpen');
    request.onsuccess = resolve;
    request.onerror = () => reject(request.error);
  }));
  await other.close();
  await notice(page, /browser cleared what it kept of this book/).waitFor();
  await saved(page, check);
  await page.reload();
  await noteIs(page, check, 0, 'before');
});

await journey('the database is gone between two visits', async ({ open, page, context, server, check, axe, expectTrouble }) => {
  expectTrouble(NO_SIGN);
  await open('');
  await openSample(page);
  await saved(page, check);
  await away(page, server);
  const cdp = await context.newCDPSession(page);
  await cdp.send('Storage.clearDataForOrigin', { origin: new URL(server.address).origin, storageTypes: 'indexeddb' });
  await page.goto(`${server.address}#fair`);
  await notice(page, /"Two barns \(invented\)" was kept on this device and is not here any more/).waitFor();
  await atTheDoors(page);
  await axe('a book that is gone');
  await page.reload();
  await notice(page, /is not here any more/).waitFor();
  await page.getByRole('button', { name: 'Put away' }).click();
  await page.reload();
  await atTheDoors(page);
  check.equal(await page.locator('.notice').count(), 0, 'what was read is not said again');
  await openSample(page);
});

await journey('a browser killed while it writes', async ({ server, temporary, check }) => {
  const profile = join(temporary, 'killed');
  const rows = Array.from({ length: 4000 }, (_, row) => `${10000 + row},${row % 2 ? 'steer' : 'heifer'},2026-03-${String(1 + row % 28).padStart(2, '0')},${500 + row % 60}`);
  const file = `tag,sex,birth date,weaning weight\n${rows.join('\n')}\n`;
  let acknowledged = 0;
  let before = 0;
  for (const wait of [0, 15, 40, 90]) {
    const { page, kill } = await browserOfItsOwn(profile);
    try {
      await page.goto(`${server.address}#calves`);
      if (before === 0) {
        await bringIn(page, 'first.csv', 'tag,sex,birth date,weaning weight\n1,steer,2026-03-01,512\n');
        await page.getByRole('dialog').getByRole('button', { name: /^Bring in/ }).click();
        await until(check, () => page.locator('dialog[open]').count(), 0, 'it is in');
        await goTo(page, 'calves');
        before = 1;
      }
      // All of an import or nothing of it; of what was typed before it, all.
      const sheet = sheetOf(page);
      await page.locator('fp-sheet fp-grid[data-ready]').waitFor();
      const n = await until(check, () => page.locator('.places a[href="#calves"] .count').innerText().then((text) => Number(text.replace(',', ''))), (count) => count > 0, 'the count of calves');
      check.ok((n - before) % 4000 === 0, `${n} calves after ${before}`);
      before = n;
      if (acknowledged > 0) await noteIs(page, check, 0, `note ${acknowledged - 1}`);
      await sheet.go(0, 'note');
      await page.keyboard.type(`note ${acknowledged}`);
      await page.keyboard.press('Enter');
      await saved(page, check);
      acknowledged += 1;
      await bringIn(page, `more ${wait}.csv`, file.replaceAll('\n1', `\n${wait + 1}1`));
      const go = page.getByRole('dialog').getByRole('button', { name: /^Bring in to/ });
      await go.waitFor();
      await go.click({ noWaitAfter: true });
      await new Promise((done) => setTimeout(done, wait));
    } finally {
      await kill();
    }
  }
  const { page, kill } = await browserOfItsOwn(profile);
  try {
    await page.goto(`${server.address}#calves`);
    await noteIs(page, check, 0, `note ${acknowledged - 1}`);
  } finally {
    await kill();
  }
});

await journey('a database of an older form is taken over, one of a later form is left alone', async ({ open, page, context, server, check, expectTrouble }) => {
  expectTrouble(NO_SIGN);
  await open('');
  await openSample(page);
  await notes(page, 0, ['from an older form']);
  await saved(page, check);
  await away(page, server);
  const rewrite = (form) => page.evaluate((wanted) => new Promise((resolve, reject) => {
    const fail = (request) => { request.onerror = () => reject(request.error); return request; };
    const read = fail(indexedDB.open('fairpen'));
    read.onsuccess = () => {
      const db = read.result;
      const stores = [...db.objectStoreNames].filter((name) => wanted > 1 || ['books', 'snapshots', 'journal', 'files'].includes(name));
      const found = stores.map((name) => {
        const store = db.transaction(name).objectStore(name);
        return { name, keyPath: store.keyPath, all: store.getAll() };
      });
      found.at(-1).all.transaction.oncomplete = () => {
        db.close();
        fail(indexedDB.deleteDatabase('fairpen')).onsuccess = () => {
          const write = fail(indexedDB.open('fairpen', wanted));
          write.onupgradeneeded = () => {
            for (const { name, keyPath, all } of found) {
              const store = write.result.createObjectStore(name, { keyPath });
              for (const value of all.result) store.put(value);
            }
          };
          write.onsuccess = () => { write.result.close(); resolve(); };
        };
      };
    };
  }), form);
  await rewrite(1);
  await page.goto(`${server.address}#calves`);
  await noteIs(page, check, 0, 'from an older form');
  await notes(page, 1, ['goes on']);
  await saved(page, check);

  // A tab with an older program keeps the database: the new one says so and waits.
  await away(page, server);
  await rewrite(1);
  await page.evaluate(() => new Promise((resolve) => { indexedDB.open('fairpen', 1).onsuccess = (event) => { globalThis.held = event.target.result; resolve(); }; }));
  const second = await context.newPage();
  await second.goto(`${server.address}#calves`);
  await notice(second, /Another tab has an older Fairpen open/).waitFor();
  await page.evaluate(() => globalThis.held.close());
  await noteIs(second, check, 1, 'goes on');
  await second.close();

  await rewrite(99);
  await page.goto(`${server.address}#calves`);
  await notice(page, /kept by a later version of Fairpen/).waitFor();
  check.equal(await notice(page, /is not here any more/).count(), 0, 'nothing is called lost');
  await away(page, server);
  check.equal(await onStore(page, 'books', 'look'), 1, 'the book is left alone');
});
