// Steps that many journeys share, in the words of a person at the page.
//
// Enters: a page of the harness. Leaves: the same page, further on.
// Always true: a step waits for what a person would see, never for a fixed time.
// Never: reaches behind the page for what a person could not see, but for the sheet's own cells by position.

/** Waits until `read` gives what is wanted (a value, or a function that says so). */
export async function until(check, read, wanted, what, patience = 10_000) {
  const end = Date.now() + patience;
  for (;;) {
    const found = await read();
    if (typeof wanted === 'function' ? wanted(found) : found === wanted) return found;
    if (Date.now() > end) check.fail(`${what}: found ${JSON.stringify(found)}`);
    await new Promise((done) => setTimeout(done, 25));
  }
}

/** The first screen is there. */
export const atTheDoors = (page) => page.getByRole('heading', { name: 'Try a sample' }).waitFor();

/** Opens the sample book and waits for its fair weights and their picture. */
export async function openSample(page) {
  await atTheDoors(page);
  await page.getByRole('button', { name: 'Open "Two barns"' }).click();
  await page.getByRole('heading', { name: 'Fair weights', exact: true }).waitFor();
  await page.locator('fp-figure svg').first().waitFor();
}

/** Goes to a place by its address, as a link would. */
export async function goTo(page, hash) {
  await page.evaluate((to) => { location.hash = to; }, hash);
}

/** What can be seen and done on the sheet of the page. */
export function sheetOf(page) {
  return {
    grid: page.getByRole('grid'),
    /** The name a screen reader gives to the active cell. */
    activeName: () => page.evaluate(() => {
      const id = document.querySelector('[role=grid]')?.getAttribute('aria-activedescendant');
      return id == null ? null : document.getElementById(id)?.getAttribute('aria-label') ?? null;
    }),
    /** Text of a cell by row position (from 0) and column key; null when it is not on the screen. */
    text: (row, column) => page.evaluate(([r, key]) => {
      const grid = document.querySelector('fp-grid');
      if (grid === null) return null;
      const at = grid.columns.findIndex((one) => one.key === key);
      return grid.querySelector(`.fpg-row:not([hidden])[aria-rowindex="${r + grid.headRows + 1}"] [aria-colindex="${at + 1}"]`)?.textContent ?? null;
    }, [row, column]),
    /** Stands on a cell, with the keyboard on the sheet: once it can be seen, as a person would wait for it. */
    go: (row, column) => page.waitForFunction(([r, key]) => {
      const grid = document.querySelector('fp-grid');
      grid.goTo(r, key);
      grid.focusSheet();
      return grid.contains(document.activeElement);
    }, [row, column]),
  };
}

/** Chooses a file as the file chooser would. */
export async function bringIn(page, name, content) {
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    page.getByRole('button', { name: /^(Choose a file|Bring in)/ }).first().click(),
  ]);
  await chooser.setFiles({ name, mimeType: 'text/csv', buffer: Buffer.from(content) });
}

/** Drops a file anywhere on the page. */
export async function dropFile(page, name, content) {
  await page.evaluate(([fileName, text]) => {
    const data = new DataTransfer();
    data.items.add(new File([text], fileName, { type: 'text/csv' }));
    const act = (type) => document.querySelector('fp-shell').dispatchEvent(new DragEvent(type, { dataTransfer: data, bubbles: true, cancelable: true }));
    act('dragenter');
    act('dragover');
    act('drop');
  }, [name, content]);
}

/** The page itself never scrolls sideways. */
export const sideways = (page) => page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);

/** A tool of the sheet on a phone, where the tools are a list that opens. */
export async function tapTool(page, name) {
  await page.getByRole('button', { name: 'Tools' }).tap();
  await page.getByRole('button', { name, exact: true }).tap();
}
