// What enters: the payloads of a results file. What leaves: a line saying which engine the file carries.
// Always true: what the table says without scripts is left as it is.
// Never: asks the network for anything.

import { initSync, version } from '../engine/generated/core.js';
import { coreModule } from '../embed/core-module.ts';

async function main(): Promise<void> {
  const line = document.querySelector('#engine');
  if (line === null) return;
  initSync({ module: await coreModule() });
  line.textContent = `This file carries engine version ${version()}.`;
}

void main();
