// Scrolling the sheet of the page that ships, with a herd on it.
//
// Enters: a running browser, the address of the built site, a CSV file of calves.
// Leaves: per way of scrolling, the times between frames, long tasks, and how long the rows took to stand after the
// last movement; and the same of the page at rest, which is what the display can do here.
// Always true: the page is the one that ships, and moves as a person moves it: by wheel, by thumb, by key.
// Never: counts the bringing in.

import { sheetOf } from '../steps.mjs';

const SECONDS = 6;
const pause = (ms) => new Promise((done) => setTimeout(done, ms));
const middle = (numbers) => [...numbers].sort((a, b) => a - b)[Math.floor(numbers.length / 2)];
const share = (numbers, part) => [...numbers].sort((a, b) => a - b)[Math.min(numbers.length - 1, Math.ceil(part * numbers.length) - 1)];

/** Counts frames and long tasks from the page's start on; `take` empties what was counted. */
function watch() {
  const seen = { gaps: [], tasks: [] };
  let last = performance.now();
  const frame = (now) => {
    seen.gaps.push(now - last);
    last = now;
    requestAnimationFrame(frame);
  };
  requestAnimationFrame(frame);
  new PerformanceObserver((list) => seen.tasks.push(...list.getEntries().map((entry) => entry.duration))).observe({ type: 'longtask' });
  globalThis.takeFrames = () => {
    const taken = { gaps: [...seen.gaps], tasks: [...seen.tasks] };
    seen.gaps.length = 0;
    seen.tasks.length = 0;
    return taken;
  };
}

/** Whether every row on show has its text. */
const rowsStand = (page) =>
  page.evaluate(() => {
    const rows = [...document.querySelectorAll('fp-grid .fpg-row:not([hidden])')];
    return rows.length > 0 && rows.every((row) => row.querySelector('[role=gridcell]')?.textContent !== '');
  });

async function during(page, move) {
  await page.evaluate(() => void globalThis.takeFrames());
  const end = Date.now() + SECONDS * 1000;
  let n = 0;
  while (Date.now() < end) {
    await move(n);
    n += 1;
  }
  const { gaps, tasks } = await page.evaluate(() => globalThis.takeFrames());
  const start = Date.now();
  while (!(await rowsStand(page)) && Date.now() < start + 10_000) await pause(5);
  return {
    movements: n,
    frames: gaps.length,
    frames_per_second: gaps.length / (gaps.reduce((sum, gap) => sum + gap, 0) / 1000),
    middle_ms: middle(gaps),
    p99_ms: share(gaps, 0.99),
    longest_ms: Math.max(...gaps),
    long_tasks: tasks,
    settled_ms: Date.now() - start,
  };
}

export async function scroll(browser, address, file, nRows) {
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  await page.addInitScript(watch);
  await page.goto(address);
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    page.getByRole('button', { name: /^Choose a file/ }).first().click(),
  ]);
  await chooser.setFiles(file);
  await page.getByRole('dialog').getByRole('button', { name: /^Bring in [\d,]+ rows/ }).click({ timeout: 120_000 });
  await page.getByRole('heading', { name: 'Fair weights', exact: true }).waitFor({ timeout: 120_000 });
  await page.evaluate(() => { location.hash = 'calves'; });
  const scroller = page.locator('fp-grid .fpg-scroller');
  await scroller.waitFor();
  await sheetOf(page).go(0, 'tag');
  for (let asked = 0; asked < 200 && !(await rowsStand(page)); asked += 1) await pause(50);
  const found = Number(await scroller.getAttribute('aria-rowcount'));
  if (found < nRows) throw new Error(`the sheet has ${found} rows, not ${nRows}`);
  await pause(2000); // what follows a file (keeping it, the marks of cells) is done

  const box = await scroller.boundingBox();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  const tall = await scroller.evaluate((one) => one.scrollHeight);
  // A thumb is dragged: many small moves over the whole height, to and fro.
  const thumb = (n) => scroller.evaluate((one, to) => new Promise((done) => {
    one.scrollTop = to;
    requestAnimationFrame(done);
  }), (tall * (1 + Math.sin(n / 40))) / 2);
  const answer = {
    'at rest': await during(page, () => pause(50)),
    'by the wheel': await during(page, (n) => page.mouse.wheel(0, n % 200 < 150 ? 400 : -400)),
    'by the thumb': await during(page, thumb),
    // As often as a key that is held down repeats.
    'by Page Down': await during(page, async () => {
      await page.keyboard.press('PageDown');
      await pause(25);
    }),
  };
  await page.close();
  return answer;
}
