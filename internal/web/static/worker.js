// Keeps the pages on set that were opened, with their script, for where there is no network. The server puts the version, the script's
// address and that of the page for nothing kept before this. A page is kept under its whole address: other numbers are another page, and
// never answered with this one.
'use strict';
const kept = 'set-' + version, files = ['/live.js', script, none], most = 20, patienceMS = 8000;

self.addEventListener('install', (e) => {
  e.waitUntil(caches.open(kept).then((c) => c.addAll(files)).then(() => self.skipWaiting()));
});

// What an older version kept is asked for anew, and gone where that fails: its numbers are not this version's.
self.addEventListener('activate', (e) => {
  e.waitUntil((async () => {
    await self.clients.claim();
    for (const name of await caches.keys()) {
      if (!name.startsWith('set-') || name === kept) { continue; }
      const old = await caches.open(name);
      for (const request of await old.keys()) {
        if (new URL(request.url).pathname === '/set') { await fetch(request.url).then((r) => keep(request.url, r)).catch(() => {}); }
      }
      await caches.delete(name);
    }
  })());
});

self.addEventListener('message', (e) => {
  const at = e.data && e.data.keep;
  if (!at || new URL(at).origin !== self.location.origin || new URL(at).pathname !== '/set') { return; }
  const address = at.split('#')[0];
  e.waitUntil((async () => {
    const cache = await caches.open(kept);
    if (!await cache.match(address, { ignoreVary: true })) { await keep(address, await fetch(address)); }
    if (await cache.match(address, { ignoreVary: true }) && e.source) { e.source.postMessage({ kept: address }); }
  })().catch(() => {}));
});

self.addEventListener('fetch', (e) => {
  const at = new URL(e.request.url);
  if (e.request.method !== 'GET' || at.origin !== self.location.origin) { return; }
  if (at.pathname === '/set') { e.respondWith(page(e.request)); return; }
  if (files.includes(at.pathname + at.search)) { e.respondWith(file(e.request)); }
});

async function keep(address, response) {
  if (response.status !== 200 || response.redirected) { return; }
  const cache = await caches.open(kept);
  await cache.delete(address, { ignoreVary: true }); // so that it is the newest
  await cache.put(address, response);
  const pages = (await cache.keys()).filter((r) => new URL(r.url).pathname === '/set');
  for (const r of pages.slice(0, Math.max(0, pages.length - most))) { await cache.delete(r, { ignoreVary: true }); }
}

async function page(request) {
  const address = request.url.split('#')[0], cache = await caches.open(kept);
  const old = await cache.match(address, { ignoreVary: true });
  try {
    const fresh = await (old ? Promise.race([fetch(request), late()]) : fetch(request));
    if (old && fresh.status >= 502) { return offline(old); }
    if (fresh.status === 200) { await keep(address, fresh.clone()); }
    return fresh;
  } catch (failed) {
    return old ? offline(old) : (await cache.match(none, { ignoreVary: true })) || Response.error();
  }
}

function late() { return new Promise((_, no) => setTimeout(() => no(new Error('late')), patienceMS)); }

// The page as it was kept, saying so.
async function offline(old) {
  const headers = new Headers(old.headers), html = await old.text();
  headers.delete('Content-Encoding');
  headers.delete('Content-Length');
  return new Response(html.replace('class="offline" hidden', 'class="offline"'), { status: 200, headers });
}

async function file(request) {
  try {
    return await fetch(request);
  } catch (failed) {
    const cache = await caches.open(kept);
    return (await cache.match(request, { ignoreVary: true })) || Response.error();
  }
}
