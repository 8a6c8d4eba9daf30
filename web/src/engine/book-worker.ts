// What enters: the compiled core, once, as the first message. What leaves: the core's version.
// Always true: nothing is answered before the core runs.
// Never: touches the document or the network.

import { initSync, version } from './generated/core.js';

const scope = self as unknown as DedicatedWorkerGlobalScope;

scope.onmessage = (event: MessageEvent<{ kind: 'start'; module: WebAssembly.Module }>) => {
  initSync({ module: event.data.module });
  scope.postMessage({ kind: 'started', version: version() });
};
