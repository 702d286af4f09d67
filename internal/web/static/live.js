// Redraws the plan while the form is filled in. Every page works without it.
(function () {
  'use strict';
  document.addEventListener('click', function (e) {
    var print = e.target.closest('[data-print]');
    if (print) { window.print(); return; }
    var copy = e.target.closest('[data-copy]');
    if (copy && navigator.clipboard) {
      e.preventDefault();
      fetch(copy.href).then(function (r) { return r.text(); }).then(function (t) { return navigator.clipboard.writeText(t); })
        .then(function () { copy.textContent = 'Copied'; }, function () { window.location = copy.href; });
    }
  });
  var form = document.getElementById('shot');
  if (!form || !document.getElementById('results')) { return; }
  var timer = 0, turn = 0, asked = null;
  function query() {
    var q = new URLSearchParams(new FormData(form)), out = new URLSearchParams();
    q.forEach(function (v, k) { if (v.trim() !== '') { out.append(k, v.trim()); } });
    return out.toString();
  }
  function show(errors) {
    form.querySelectorAll('[data-field]').forEach(function (field) {
      var says = errors[field.dataset.field] || '', input = field.querySelector('input, select, textarea'), p = field.querySelector('.error');
      field.classList.toggle('wrong', says !== '');
      if (p && p.textContent !== says) { p.textContent = says; }
      if (says) { input.setAttribute('aria-invalid', 'true'); } else { input.removeAttribute('aria-invalid'); }
    });
    var summary = form.querySelector('.summary');
    if (summary && Object.keys(errors).length === 0) { summary.remove(); }
  }
  function redraw(keep) {
    var mine = ++turn, address = '/plan?' + query(), begin = performance.now();
    document.getElementById('results').dataset.busy = '1';
    if (asked) { asked.abort(); } // nobody waits for it: the server may stop working on it
    asked = new AbortController();
    fetch(address, { headers: { 'X-Part': 'results' }, signal: asked.signal }).then(function (r) {
      if (!r.ok && r.status !== 503) { throw new Error('no answer'); }
      return r.text();
    }).then(function (html) {
      if (mine !== turn) { return; }
      var old = document.getElementById('results'), box = document.createElement('div');
      box.innerHTML = html;
      var fresh = box.firstElementChild, errors = JSON.parse(fresh.dataset.errors || '{}') || {};
      show(errors);
      if (Object.keys(errors).length > 0) { outdated(old); } else { old.replaceWith(fresh); links(fresh.dataset.query); tell(fresh); }
      if (keep) { history.pushState(null, '', address); } else { history.replaceState(null, '', address); }
      performance.measure('redraw', { start: begin });
    }).catch(function () { if (mine === turn) { delete document.getElementById('results').dataset.busy; } });
  }
  function outdated(old) { // what is drawn is of the form before: nobody is to rig by it
    delete old.dataset.busy;
    old.dataset.outdated = '1';
    var told = document.getElementById('told');
    if (told) { told.textContent = 'The plan is of the form before. Fix the field that is marked.'; }
  }
  function tell(fresh) { // what changed, for who hears the page: the first plan in a sentence
    var row = fresh.querySelector('.chosen'), told = document.getElementById('told');
    if (row && told) { told.textContent = row.querySelector('a').textContent + ', ' + row.querySelector('.state').textContent + ', ' + row.querySelector('td').textContent; }
  }
  function links(q) {
    document.querySelectorAll('nav a').forEach(function (a) {
      var path = a.getAttribute('href').split('?')[0];
      if (path === '/plan' || path === '/day' || path === '/set' || path === '/reach') { a.setAttribute('href', path + '?' + q); }
    });
    document.querySelectorAll('[data-lang]').forEach(function (a) { a.setAttribute('href', '/plan?' + q + '&lang=' + a.dataset.lang); });
    var keep = document.getElementById('keep');
    if (!keep) { return; }
    keep.elements.back.value = q;
    ['lat', 'lon', 'zone'].forEach(function (n) { keep.elements[n].value = form.elements[n].value; });
  }
  form.addEventListener('input', function () { clearTimeout(timer); timer = setTimeout(redraw, 120, false); });
  form.addEventListener('change', function (e) {
    if (e.target.name === 'units') { // what was typed keeps its meaning: 5.5 of metres becomes 5.5 m among feet
      var was = e.target.value === 'ft' ? ' m' : ' ft';
      form.querySelectorAll('[data-length]').forEach(function (i) { if (/\d\s*$/.test(i.value)) { i.value = i.value.trim() + was; } });
    } clearTimeout(timer); redraw(true); });
  window.addEventListener('popstate', function () { window.location.reload(); });
})();
