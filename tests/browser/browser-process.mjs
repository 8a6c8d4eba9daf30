// A browser of its own, that can be killed without warning.
//
// Enters: a folder for its profile. Leaves: its page, and a way to kill it.
// Always true: `kill` ends the browser as a power cut would: nothing is closed, nothing is written any more.
// Never: touches another browser.

import { spawn } from 'node:child_process';
import { createRequire } from 'node:module';
import { browserProgram } from './harness.mjs';

const { chromium } = createRequire(new URL('../../web/package.json', import.meta.url))('playwright-core');

export async function browserOfItsOwn(profile) {
  const process_ = spawn(browserProgram(), [
    '--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking',
    '--disable-component-update', '--disable-sync', '--disable-dev-shm-usage', '--remote-debugging-port=0', `--user-data-dir=${profile}`, 'about:blank',
  ], { stdio: ['ignore', 'ignore', 'pipe'] });
  const address = await new Promise((resolve, reject) => {
    let said = '';
    process_.stderr.on('data', (piece) => {
      said += piece;
      const found = /DevTools listening on (ws:\S+)/.exec(said);
      if (found) resolve(found[1]);
    });
    process_.on('exit', () => reject(new Error(`the browser did not start: ${said}`)));
  });
  const connected = await chromium.connectOverCDP(address);
  const context = connected.contexts()[0];
  return {
    page: await context.newPage(),
    kill: async () => {
      const gone = new Promise((resolve) => process_.on('exit', resolve));
      process_.kill('SIGKILL');
      await gone;
    },
  };
}
