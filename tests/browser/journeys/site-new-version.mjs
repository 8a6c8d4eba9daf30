// A new version of the site waits until she lets it in, then replaces the old one whole.

import { cpSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { dist, journey, serve } from '../harness.mjs';
import { atTheDoors, until } from '../steps.mjs';

await journey('a new version of the site', async ({ page, temporary, check }) => {
  const folder = join(temporary, 'site');
  cpSync(dist, folder, { recursive: true });
  const server = await serve(folder);
  await page.goto(server.address);
  await atTheDoors(page);
  await page.evaluate(async () => {
    await navigator.serviceWorker.ready;
    while (navigator.serviceWorker.controller === null) await new Promise((resolve) => setTimeout(resolve, 20));
  });

  // The same site with another title, and so another build.
  const change = (file, from, to) => {
    const path = join(folder, file);
    const text = readFileSync(path, 'utf8');
    check.ok(text.includes(from), `${file} holds ${from}`);
    writeFileSync(path, text.replace(from, to));
  };
  const [build] = /[0-9a-f]{10}(?=["'`])/.exec(readFileSync(join(folder, 'service-worker.js'), 'utf8'));
  change('index.html', '<title>Fairpen</title>', '<title>Fairpen, the next version</title>');
  change('service-worker.js', build, '0123456789');

  await page.reload();
  await page.evaluate(async () => {
    const registration = await navigator.serviceWorker.ready;
    await registration.update();
    while (registration.waiting === null) await new Promise((resolve) => setTimeout(resolve, 20));
  });
  await page.reload();
  check.equal(await page.title(), 'Fairpen', 'the version in use stays while its page is open');

  await page.getByText('A new version of Fairpen is ready.').waitFor();
  await server.stop();
  await page.getByRole('button', { name: 'Use it now' }).click();
  await until(check, () => page.title().catch(() => ''), 'Fairpen, the next version', 'the new version is in use');
  await atTheDoors(page);
  check.equal((await page.evaluate(() => caches.keys())).length, 1, 'nothing of the old version is kept');
});
