// What enters: requests of the page. What leaves: the files of one build, from the cache.
// Always true: a page and its files come from the same build; a new build takes over when no page of the
// old one is open, or when the page asks for it. In development the network comes first.
// Never: answers for another origin or outside its own folder, keeps anything she typed, calls out.

const scope = self as unknown as ServiceWorkerGlobalScope;
const cacheName = `fairpen ${scope.registration.scope} ${FAIRPEN_BUILD}`;
const ownCaches = `fairpen ${scope.registration.scope} `;

scope.addEventListener('install', (event) => {
  event.waitUntil(
    (async () => {
      const cache = await caches.open(cacheName);
      // `reload` goes past the browser's own cache: it could hold index.html of another build.
      await cache.addAll(FAIRPEN_PRECACHE.map((path) => new Request(path, { cache: 'reload' })));
      if (FAIRPEN_DEVELOPMENT) await scope.skipWaiting();
    })(),
  );
});

scope.addEventListener('activate', (event) => {
  event.waitUntil(
    (async () => {
      for (const name of await caches.keys()) {
        if (name.startsWith(ownCaches) && name !== cacheName) await caches.delete(name);
      }
      await scope.clients.claim();
    })(),
  );
});

scope.addEventListener('message', (event) => {
  if (event.data === 'take over') void scope.skipWaiting();
});

scope.addEventListener('fetch', (event) => {
  const { request } = event;
  if (request.method !== 'GET' || !request.url.startsWith(scope.registration.scope)) return;
  event.respondWith(FAIRPEN_DEVELOPMENT ? networkFirst(request) : cacheFirst(request));
});

async function cached(request: Request): Promise<Response | undefined> {
  const cache = await caches.open(cacheName);
  if (request.mode === 'navigate') {
    const path = new URL(request.url).href.split(/[?#]/, 1)[0];
    if (path === scope.registration.scope || path === `${scope.registration.scope}index.html`) {
      return cache.match(new URL('./', scope.registration.scope).href);
    }
  }
  return cache.match(request);
}

async function cacheFirst(request: Request): Promise<Response> {
  return (await cached(request)) ?? fetch(request);
}

async function networkFirst(request: Request): Promise<Response> {
  try {
    return await fetch(request);
  } catch (cause) {
    const kept = await cached(request);
    if (kept !== undefined) return kept;
    throw cause;
  }
}
