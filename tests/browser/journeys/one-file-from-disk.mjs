// The whole program as one file opens from disk, asks nobody for anything, and keeps its own policy.

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { dist, journey, oneFile } from '../harness.mjs';

await journey('one file from disk', async ({ page, context, check, axe }) => {
  const asked = [];
  context.on('request', (request) => asked.push(request.url()));
  await page.goto(oneFile);
  await page.getByRole('heading', { name: 'Try a sample' }).waitFor();
  check.deepEqual(asked.filter((url) => !/^(blob|data):/.test(url)), [oneFile]);
  check.deepEqual(await page.evaluate(() => performance.getEntriesByType('resource').map((entry) => entry.name).filter((name) => !/^(blob|data):/.test(name))), []);
  await axe('the one file');
});

await journey('the policy of the one file holds', async ({ page, check, expectTrouble }) => {
  expectTrouble(/policy broken|Content Security Policy/);
  await page.goto(oneFile);
  // A script put into the page by whatever road must not run, and nothing may be fetched.
  const ran = await page.evaluate(async () => {
    const script = document.createElement('script');
    script.textContent = 'window.strangeScriptRan = true';
    document.body.append(script);
    const fetched = await fetch('http://127.0.0.1:9/').then(() => true, () => false);
    return { script: window.strangeScriptRan === true, fetched };
  });
  check.deepEqual(ran, { script: false, fetched: false });
});

await journey('the results template from disk', async ({ page, check }) => {
  const template = readFileSync(join(dist, 'results-template.html'), 'utf8');
  for (const slot of ['title', 'body', 'payloads']) {
    check.equal(template.split(`<!--fairpen:${slot}-->`).length, 2, `slot ${slot} is there exactly once`);
  }
  // Its slots are empty: it opens without a complaint. A filled one is opened by the hand-over journey.
  await page.goto(pathToFileURL(join(dist, 'results-template.html')).href);
});
