// What enters: nothing. What leaves: the page registered for use without a network, where that is possible.
// Always true: failing to register is not an error; the page works, only not offline.
// Never: runs in the files that open from disk, which are offline by nature.

/** Registers the service worker beside index.html. Resolves to whether the browser accepted it. */
export async function keepForOffline(): Promise<boolean> {
  if (FAIRPEN_HOME !== 'site' || !('serviceWorker' in navigator)) return false;
  try {
    await navigator.serviceWorker.register(new URL('service-worker.js', document.baseURI), {
      scope: './',
      updateViaCache: 'none',
    });
    return true;
  } catch {
    // Private windows and plain http hosts other than localhost refuse.
    return false;
  }
}
