// Redraws the plan while the form is filled in. Every page works without it, and every word that it shows is in the page.
(function () {
  'use strict';
  var timer = 0, turn = 0, asked = null, shown = location.search;
  function id(name) { return document.getElementById(name); }
  function form() { return id('shot'); }

  // What is asked is typed, what is seen is of the form before: dim it until it is of what is typed.
  function dim(state) {
    var desk = id('desk');
    if (state) { desk.dataset.state = state; } else { delete desk.dataset.state; }
  }
  function notice(content) {
    var box = id('notice');
    box.replaceChildren();
    box.hidden = !content;
    if (content) { box.append(content); }
  }
  function query() {
    var q = new URLSearchParams(new FormData(form())), out = new URLSearchParams();
    q.forEach(function (v, k) { if (v.trim() !== '') { out.append(k, v.trim()); } });
    return out.toString();
  }
  function address(q, keep) {
    var to = '/plan?' + q;
    if (keep) { history.pushState(null, '', to); } else { history.replaceState(null, '', to); }
    shown = location.search;
  }
  function beside(errors) { // each error beside its field
    form().querySelectorAll('[data-field]').forEach(function (field) {
      var says = errors[field.dataset.field] || '', input = field.querySelector('input, select, textarea'), p = field.querySelector('.error');
      field.classList.toggle('wrong', says !== '');
      if (p && p.textContent !== says) { p.textContent = says; }
      if (says) { input.setAttribute('aria-invalid', 'true'); if (field.closest('details')) { field.closest('details').open = true; } } else { input.removeAttribute('aria-invalid'); }
    });
    var summary = form().querySelector('.summary');
    if (summary) { summary.remove(); }
  }
  function fill(values) { // what a quick entry has filled in
    Object.keys(values).forEach(function (name) {
      var input = form().elements[name];
      if (input) { input.value = values[name]; } // whoever has typed in it since has begun another turn
    });
    var zone = form().elements.zone;
    if (values.lat && zone.value === '') { // the place's own is not known here: the browser's is likely, and is marked
      zone.value = Intl.DateTimeFormat().resolvedOptions().timeZone || '';
      id('zone-guessed').hidden = zone.value === '';
      return zone.value !== '';
    }
    return false;
  }
  function blanks(values) { // what is taken for what is not said
    form().querySelectorAll('input[placeholder]').forEach(function (input) { input.placeholder = values[input.name] || ''; });
  }
  function stop() {
    clearTimeout(timer);
    turn++;
    if (asked) { asked.abort(); } // nobody waits for it: the server may stop working on it
    asked = null;
  }
  function redraw(keep) {
    stop();
    var mine = turn, q = query(), begin = performance.now();
    dim('busy');
    asked = new AbortController();
    fetch('/plan/part?' + q, { signal: asked.signal }).then(function (r) { return r.text(); }).then(function (html) {
      if (mine !== turn) { return; }
      var fresh = new DOMParser().parseFromString(html, 'text/html').querySelector('.part');
      if (!fresh) { throw new Error('no part'); } // something between the server and here has answered
      var more = fill(JSON.parse(fresh.dataset.fill)), why = fresh.querySelector('.failed');
      beside(JSON.parse(fresh.dataset.errors));
      if (more) { redraw(keep); return; }
      address(fresh.dataset.query || q, keep);
      if (why) {
        notice(why);
        dim('outdated');
      } else {
        id('headline').replaceWith(fresh.querySelector('#headline'));
        id('results').replaceWith(fresh.querySelector('#results'));
        scrollers();
        blanks(JSON.parse(fresh.dataset.shown));
        links(fresh.dataset.query);
        notice(null);
        dim('');
        id('told').textContent = (id('results').querySelector('[data-told]') || { dataset: { told: '' } }).dataset.told;
      }
      performance.measure('redraw', { start: begin });
    }).catch(function () {
      if (mine !== turn) { return; }
      address(q, keep);
      notice(id('lost').content.cloneNode(true));
      dim('outdated');
    });
  }
  function whole() { // other units: every field and label is another
    stop();
    var to = '/plan?' + query(), mine = turn;
    dim('busy');
    asked = new AbortController();
    fetch(to, { signal: asked.signal }).then(function (r) { return r.text(); }).then(function (html) {
      var main = new DOMParser().parseFromString(html, 'text/html').getElementById('main');
      if (mine !== turn) { return; }
      if (!main || !main.querySelector('#shot')) { throw new Error('no page'); }
      id('main').replaceWith(main);
      begin();
      scrollers();
      address(query(), true);
      links(query());
      form().querySelector('input[name=units]:checked').focus();
    }).catch(function () {
      if (mine !== turn) { return; }
      form().elements.units.value = form().elements.lengths.value; // nothing is converted
      notice(id('lost').content.cloneNode(true));
      dim('outdated');
    });
  }
  function links(q) {
    document.querySelectorAll('nav a').forEach(function (a) {
      var path = a.getAttribute('href').split('?')[0];
      if (path === '/plan' || path === '/day' || path === '/set' || path === '/reach') { a.setAttribute('href', path + '?' + q); }
    });
    document.querySelectorAll('[data-lang]').forEach(function (a) { a.setAttribute('href', '/plan?' + q + '&lang=' + a.dataset.lang); });
    var keep = id('keep');
    if (!keep) { return; }
    keep.elements.back.value = q;
    ['lat', 'lon', 'zone'].forEach(function (n) { keep.elements[n].value = form().elements[n].value; });
  }
  // What the browser says of the position stands beside the button: the notice is for the answer, which may come a moment later.
  function locate(button) {
    var says = button.parentNode.querySelector('[role=status]');
    if (!says) {
      says = document.createElement('span');
      says.setAttribute('role', 'status');
      button.after(' ', says);
    }
    says.textContent = '';
    navigator.geolocation.getCurrentPosition(function (p) {
      form().elements.at.value = p.coords.latitude.toFixed(6) + ', ' + p.coords.longitude.toFixed(6);
      redraw(true);
    }, function () {
      says.textContent = button.dataset.refused;
    }, { maximumAge: 60000, timeout: 20000 });
  }
  function begin() { // what only a script can do is offered by a script
    var button = id('locate');
    if (button && navigator.geolocation) { button.hidden = false; }
  }

  // What scrolls sideways is reached by keyboard and has a name, in browsers that do not see to it themselves; what does not is no stop.
  var sizes = window.ResizeObserver && new ResizeObserver(function (list) {
    list.forEach(function (entry) {
      var box = entry.target.closest('.scroll, figure'), name = box.querySelector('caption, figcaption') || box.querySelector('table');
      if (box.scrollWidth <= box.clientWidth) { ['tabindex', 'role', 'aria-label'].forEach(function (a) { box.removeAttribute(a); }); return; }
      box.tabIndex = 0;
      box.setAttribute('role', 'group');
      box.setAttribute('aria-label', name.getAttribute('aria-label') || name.textContent);
    });
  });
  function scrollers() {
    if (sizes) { document.querySelectorAll('.scroll, .scroll > table, figure:not(.zoom), figure:not(.zoom) > svg').forEach(function (e) { sizes.observe(e); }); }
  }
  scrollers();

  document.addEventListener('click', function (e) {
    var print = e.target.closest('[data-print]'), copy = e.target.closest('[data-copy]'), place = e.target.closest('[data-locate]');
    if (print) { window.print(); return; }
    if (e.target.closest('[data-again]')) { redraw(false); return; }
    if (place) { locate(place); return; }
    if (copy && navigator.clipboard) {
      e.preventDefault();
      fetch(copy.href).then(function (r) { return r.text(); }).then(function (t) { return navigator.clipboard.writeText(t); })
        .then(function () { copy.textContent = copy.dataset.copy; }, function () { window.location = copy.href; });
    }
  });
  if (!form() || !id('results')) { return; }
  begin();
  document.addEventListener('input', function (e) {
    if (!e.target.form || e.target.form !== form() || e.target.name === 'units') { return; }
    if (e.target.name === 'zone') { id('zone-guessed').hidden = true; }
    if ('quick' in e.target.dataset) { return; } // half of a point is another point: it is taken when it is whole
    stop();
    dim('busy');
    timer = setTimeout(redraw, 120, false);
  });
  document.addEventListener('change', function (e) {
    if (!e.target.form || e.target.form !== form()) { return; }
    if (e.target.name === 'units') { whole(); } else { redraw(true); }
  });
  window.addEventListener('popstate', function () { // also of a link within the page, which changes nothing of the shot
    if (location.search !== shown) { window.location.reload(); }
  });
  window.addEventListener('online', function () { if (id('desk').dataset.state === 'outdated') { redraw(false); } });
})();
