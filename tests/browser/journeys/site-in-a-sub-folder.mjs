// The site works from any folder of a plain static host, and without a network after the first visit.

import { journey } from '../harness.mjs';

const running = (page) => page.getByRole('heading', { name: 'Try a sample' }).waitFor();

await journey(
  'site in a sub-folder',
  async ({ open, page, server, check, axe, screenshot }) => {
    await open('');
    await running(page);
    await axe('the first screen');
    await screenshot('first-screen');
    check.ok(server.asked.every((path) => path.startsWith('/some/sub/folder/') || path === '/favicon.ico'), server.asked.join('\n'));

    const { state, kept } = await page.evaluate(async () => {
      const registration = await navigator.serviceWorker.ready;
      const worker = registration.active;
      if (worker.state !== 'activated') {
        await new Promise((resolve) => {
          worker.onstatechange = () => worker.state === 'activated' && resolve();
        });
      }
      const [cache] = await caches.keys();
      return { state: worker.state, kept: (await (await caches.open(cache)).keys()).length };
    });
    check.equal(state, 'activated');
    check.ok(kept >= 5, `${kept} files kept`);

    const devtools = await page.context().newCDPSession(page);
    const { installabilityErrors } = await devtools.send('Page.getInstallabilityErrors');
    check.deepEqual(installabilityErrors, [], 'the page can be installed');

    await server.stop();
    await page.context().setOffline(true);
    await page.goto(`${server.address}?sample=none#compare`);
    await running(page);
    await page.goto(`${server.address}index.html`);
    await running(page);
  },
  { under: '/some/sub/folder/' },
);
