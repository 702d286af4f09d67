// The page on set: zoom, pieces one by one, ticks, and a worker that keeps the page. All of it is read without script, too.
(function () {
  'use strict';
  var page = document.querySelector('[data-set]'), none = document.querySelector('[data-none]');
  var workers = navigator.serviceWorker;
  if (workers) {
    workers.register('/set/worker.js', { scope: '/set' }).then(function () { return workers.ready; }).then(function (r) {
      if (page && !document.querySelector('.offline:not([hidden])')) { r.active.postMessage({ keep: location.href }); }
    }).catch(function () { /* the page works without, where there is a network */ });
    workers.addEventListener('message', function (e) {
      var says = document.querySelector('.kept');
      if (says && e.data && e.data.kept === location.href.split('#')[0]) { says.hidden = false; }
    });
  }
  if (none && window.caches) { list(none.querySelector('.keeps')); }
  if (!page) { return; }

  function list(box) { // the shots that are kept, by their names
    caches.keys().then(function (names) {
      return Promise.all(names.map(function (n) { return caches.open(n).then(function (c) { return c.keys(); }); }));
    }).then(function (all) {
      all.forEach(function (requests) {
        requests.forEach(function (r) {
          var at = new URL(r.url), li = document.createElement('li'), a = document.createElement('a');
          if (at.pathname !== '/set') { return; }
          a.href = at.pathname + at.search;
          a.textContent = [at.searchParams.get('name') || at.searchParams.get('date'), at.searchParams.get('option')].filter(Boolean).join(', ');
          li.appendChild(a);
          box.querySelector('ul').appendChild(li);
          box.hidden = false;
        });
      });
    });
  }

  // Zoom: buttons and two fingers; moving is scrolling.
  var most = 8;
  page.querySelectorAll('[data-zoom]').forEach(function (figure) {
    var pan = figure.querySelector('.pan'), svg = pan.querySelector('svg'), zoom = 1, fingers = new Map(), spread = 0;
    function to(z, x, y) {
      var box = pan.getBoundingClientRect(), fx, fy;
      z = Math.min(most, Math.max(1, z));
      fx = (pan.scrollLeft + x - box.left) / pan.scrollWidth;
      fy = (pan.scrollTop + y - box.top) / pan.scrollHeight;
      zoom = z;
      svg.style.width = (100 * z) + '%';
      pan.scrollLeft = fx * pan.scrollWidth - (x - box.left);
      pan.scrollTop = fy * pan.scrollHeight - (y - box.top);
    }
    function apart() {
      var p = Array.from(fingers.values());
      return { x: (p[0].x + p[1].x) / 2, y: (p[0].y + p[1].y) / 2, far: Math.hypot(p[0].x - p[1].x, p[0].y - p[1].y) };
    }
    figure.querySelector('.zooms').hidden = false;
    figure.addEventListener('click', function (e) {
      var b = e.target.closest('[data-by]'), box = pan.getBoundingClientRect(), by = b && Number(b.dataset.by);
      if (b) { to(by ? zoom * by : 1, box.left + box.width / 2, box.top + box.height / 2); }
    });
    pan.addEventListener('pointerdown', function (e) {
      if (e.pointerType !== 'touch') { return; }
      fingers.set(e.pointerId, { x: e.clientX, y: e.clientY });
      if (fingers.size === 2) { spread = apart().far / zoom; }
    });
    pan.addEventListener('pointermove', function (e) {
      if (!fingers.has(e.pointerId)) { return; }
      fingers.set(e.pointerId, { x: e.clientX, y: e.clientY });
      if (fingers.size === 2 && spread > 0) { var now = apart(); to(now.far / spread, now.x, now.y); }
    });
    ['pointerup', 'pointercancel'].forEach(function (name) { pan.addEventListener(name, function (e) { fingers.delete(e.pointerId); }); });
    pan.addEventListener('touchmove', function (e) { if (e.touches.length > 1) { e.preventDefault(); } }, { passive: false });
  });

  // Pieces one by one.
  var box = page.querySelector('.pieces'), pieces = box ? Array.from(box.querySelectorAll('.piece')) : [], at = 0;
  function show(n) {
    at = Math.min(pieces.length - 1, Math.max(0, n));
    pieces.forEach(function (p, i) { p.classList.toggle('now', i === at); });
    box.querySelector('[data-at]').textContent = (at + 1) + ' / ' + pieces.length;
    box.querySelectorAll('[data-turn]').forEach(function (b) { var to = at + Number(b.dataset.turn); b.disabled = to < 0 || to >= pieces.length; });
  }
  if (pieces.length > 1) {
    box.classList.add('one');
    box.querySelector('.turn').hidden = false;
    show(0);
    box.addEventListener('click', function (e) {
      var b = e.target.closest('[data-turn]');
      if (b) { show(at + Number(b.dataset.turn)); pieces[at].scrollIntoView({ block: 'start' }); }
    });
    page.addEventListener('click', function (e) { // a piece in a drawing leads to its words
      var hit = e.target.closest('svg [data-piece]'), n = hit && Number(hit.dataset.piece) + 1;
      var found = hit ? pieces.findIndex(function (p) { return Number(p.dataset.first) <= n && n <= Number(p.dataset.last); }) : -1;
      if (found >= 0) { show(found); pieces[found].scrollIntoView({ block: 'start' }); }
    });
  }

  // Ticks are of this plan and of no other: they are kept under its revision.
  var key = 'set:' + page.dataset.revision, ticks = [];
  try { ticks = JSON.parse(localStorage.getItem(key)) || []; } catch (e) { ticks = []; }
  function id(input) { return input.dataset.tick ? 't' + input.dataset.tick : 's' + input.dataset.step; }
  var inputs = Array.from(page.querySelectorAll('[data-tick], [data-step]')), clear = page.querySelector('[data-untick]'), done = page.querySelector('[data-done]');
  function count() {
    var n = inputs.filter(function (i) { return i.dataset.tick && i.checked; }).length;
    if (done) { done.hidden = false; done.textContent = done.dataset.done.replace('%s', n); }
    if (clear) { clear.hidden = !inputs.some(function (i) { return i.checked; }); }
  }
  function keep() {
    ticks = inputs.filter(function (i) { return i.checked; }).map(id);
    try { localStorage.setItem(key, JSON.stringify(ticks)); } catch (e) { /* ticks last as long as the page then */ }
    count();
  }
  inputs.forEach(function (i) { i.checked = ticks.indexOf(id(i)) >= 0; i.addEventListener('change', keep); });
  if (clear) { clear.addEventListener('click', function () { inputs.forEach(function (i) { i.checked = false; }); keep(); }); }
  count();
})();
