// What enters: nothing. What leaves: the page registered for use without a network, where that is possible, and
// the news that a new version waits.
// Always true: failing to register is not an error; the page works, only not offline. A new version takes over
// only when the person lets it, or when no page of the old one is open.
// Never: runs in the files that open from disk, which are offline by nature.

/** Registers the service worker beside index.html; calls `waiting` when a new version is ready to take over. */
export async function keepForOffline(waiting: () => void): Promise<boolean> {
  if (FAIRPEN_HOME !== 'site' || !('serviceWorker' in navigator)) return false;
  try {
    const registration = await navigator.serviceWorker.register(new URL('service-worker.js', document.baseURI), {
      scope: './',
      updateViaCache: 'none',
    });
    const tell = (): void => {
      // Without a controller this is the first visit, and what waits is this very version.
      if (registration.waiting !== null && navigator.serviceWorker.controller !== null) waiting();
    };
    tell();
    registration.addEventListener('updatefound', () => registration.installing?.addEventListener('statechange', tell));
    return true;
  } catch {
    // Private windows and plain http hosts other than localhost refuse.
    return false;
  }
}

/** Lets the waiting version take over, and starts the page anew with it. */
export async function useNewVersion(): Promise<void> {
  const registration = await navigator.serviceWorker.getRegistration();
  navigator.serviceWorker.addEventListener('controllerchange', () => location.reload(), { once: true });
  registration?.waiting?.postMessage('take over');
}
