// What enters: nothing. What leaves: the compiled core module, one for the whole page.
// Always true: the bytes are read and compiled once, however many workers are started or restarted.
// Never: instantiates; a worker does that with `initSync({ module })`.

import { payload } from './payload.ts';

let compiled: Promise<WebAssembly.Module> | undefined;

/** The compiled core. Rejects with a plain sentence if it cannot be read or the browser cannot run it. */
export function coreModule(): Promise<WebAssembly.Module> {
  compiled ??= payload('core.wasm')
    .then((bytes) => WebAssembly.compile(bytes))
    .catch((cause: unknown) => {
      compiled = undefined; // a later try may find the network back
      throw cause;
    });
  return compiled;
}
