// What every page owes to whoever hears, magnifies or types it, asked of the page as the browser has laid it out. Each check returns what is
// wrong as lines "rule: where". The numbers in brackets are those of the Web Content Accessibility Guidelines (WCAG) 2.2.
window.access = (function () {
  'use strict';
  var controls = 'a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex]:not([tabindex="-1"])';
  function all(selector, from) { return Array.from((from || document).querySelectorAll(selector)); }
  function seen(e) { return e.checkVisibility({ visibilityProperty: true }) && e.getClientRects().length > 0; }
  function hidden(e) { return e.closest('.visually-hidden, .skip, [aria-hidden=true]') !== null; }
  function clipped(e) { for (; e; e = e.parentElement) { if (getComputedStyle(e).clipPath !== 'none') { return true; } } return false; }
  function where(e) { return e.outerHTML.replace(/\s+/g, ' ').slice(0, 110); }
  function words(e) { return e ? e.textContent.trim().replace(/\s+/g, ' ') : ''; }
  function byIds(e, attribute) {
    return (e.getAttribute(attribute) || '').split(/\s+/).filter(Boolean).map(function (id) { return words(document.getElementById(id)); }).join(' ');
  }
  function name(e) {
    return byIds(e, 'aria-labelledby') || e.getAttribute('aria-label') || (e.labels && e.labels.length ? Array.from(e.labels).map(words).join(' ') : '') || words(e);
  }
  function report() {
    var out = [];
    function bad(rule, e) { out.push(rule + ': ' + (e instanceof Element ? where(e) : e)); }
    bad.list = out;
    return bad;
  }

  // Structure: language, headings, landmarks, names, references, tables, forms.
  function structure(lang) {
    var bad = report(), last = 0, ids = {}, marks = {}, labels = {}, links = {};
    if (document.documentElement.lang !== lang) { bad('lang is not the page\'s [3.1.1]', document.documentElement.lang); }
    all('[lang]').forEach(function (e) { try { Intl.getCanonicalLocales(e.lang); } catch (_) { bad('lang [3.1.2]', e); } });
    if (!/\S.*Kitspan/.test(document.title) && document.title !== 'Kitspan') { bad('title [2.4.2]', document.title); }
    if (/user-scalable\s*=\s*no|maximum-scale/.test(document.querySelector('meta[name=viewport]').content)) { bad('zoom is forbidden [1.4.4]', 'viewport'); }
    if (all('h1').filter(seen).length !== 1) { bad('one h1', all('h1').length + ' of them'); }
    all('h1, h2, h3, h4, h5, h6').filter(seen).forEach(function (h) {
      var level = Number(h.tagName[1]);
      if (level > last + 1) { bad('a heading skips a level [1.3.1]', h); }
      if (!words(h)) { bad('empty heading', h); }
      last = level;
    });
    ['main', 'body > header', 'body > footer'].forEach(function (l) { if (all(l).filter(seen).length !== 1) { bad('landmark [1.3.1]', l); } });
    all('nav, section[aria-label], section[aria-labelledby], [role=search], [role=region]').filter(seen).forEach(function (e) {
      var is = (e.getAttribute('role') || e.tagName) + ' ' + name(e);
      if (marks[is]) { bad('landmarks of one name', e); }
      marks[is] = true;
    });
    all('body > *').filter(seen).forEach(function (e) { if (!e.matches('header, main, footer, .skip, script, style')) { bad('outside all landmarks', e); } });
    all('[id]').forEach(function (e) { if (ids[e.id]) { bad('an id twice', e); } ids[e.id] = true; });
    ['aria-labelledby', 'aria-describedby', 'aria-controls', 'aria-owns', 'aria-details', 'aria-errormessage', 'for', 'list', 'headers', 'form'].forEach(function (a) {
      all('[' + a + ']').forEach(function (e) {
        e.getAttribute(a).split(/\s+/).filter(Boolean).forEach(function (id) { if (!document.getElementById(id)) { bad(a + ' leads nowhere', e); } });
      });
    });
    all('a[href^="#"]').forEach(function (e) { if (!document.getElementById(e.hash.slice(1))) { bad('a link leads nowhere', e); } });
    all('[tabindex]').forEach(function (e) { if (e.tabIndex > 0) { bad('tabindex [2.4.3]', e); } });
    all('img:not([alt]), svg').forEach(function (e) {
      if (e.closest('[aria-hidden=true]') || e.parentElement.closest('svg')) { return; }
      if (e.getAttribute('role') !== 'img' || !name(Object.assign(e, {})) || !(e.getAttribute('aria-label') || byIds(e, 'aria-labelledby'))) { bad('a picture without a name [1.1.1]', e); }
    });
    all('table').forEach(function (t) {
      if (!t.querySelector('th')) { bad('a table without headers [1.3.1]', t); }
      if (!t.caption && !t.getAttribute('aria-label') && !t.getAttribute('aria-labelledby')) { bad('a table without a name', t); }
      all('th', t).forEach(function (h) { if (!h.scope) { bad('a header of what? [1.3.1]', h); } if (!words(h)) { bad('an empty header', h); } });
    });
    all('ul, ol').forEach(function (l) { if (Array.from(l.children).some(function (c) { return !/^(LI|SCRIPT|TEMPLATE)$/.test(c.tagName); })) { bad('a list of other than items', l); } });
    all('dl').forEach(function (l) { if (Array.from(l.children).some(function (c) { return !/^(DT|DD|DIV)$/.test(c.tagName); })) { bad('a list of other than terms', l); } });
    all('a[href], button, summary, label').forEach(function (e) {
      var inner = e.querySelector(e.tagName === 'LABEL' ? 'a[href], button' : 'a[href], button, input, select, textarea, summary');
      if (inner) { bad('a control within a control', e); }
    });
    all('details').forEach(function (d) { if (!d.firstElementChild || d.firstElementChild.tagName !== 'SUMMARY') { bad('details without a summary', d); } });
    all('input:not([type=hidden]), select, textarea').forEach(function (e) {
      var group = e.closest('fieldset, details'), form = e.form ? all('form').indexOf(e.form) : -1;
      var is = form + '/' + (group ? words(group.querySelector('legend, summary')) : '') + '/' + name(e);
      if (!e.labels.length) { bad('a field without a label [3.3.2]', e); }
      if (labels[is]) { bad('labels of one name [2.4.6]', e); }
      labels[is] = true;
      if (e.type === 'radio' && !e.closest('fieldset')) { bad('choices without a legend [1.3.1]', e); }
    });
    all('fieldset').forEach(function (f) { if (!f.querySelector('legend') || !words(f.querySelector('legend'))) { bad('a fieldset without a legend', f); } });
    all('.error').forEach(function (p) {
      var field = p.id && document.querySelector('[aria-describedby~="' + p.id + '"]');
      if (!field) { bad('an error of no field [3.3.1]', p); } else if ((words(p) !== '') !== (field.getAttribute('aria-invalid') === 'true')) { bad('an error and its field do not agree [3.3.1]', field); }
    });
    all('[aria-invalid=true]').forEach(function (e) { if (!byIds(e, 'aria-describedby')) { bad('an error without words [3.3.1]', e); } });
    all('.summary, .good, #notice, #told').forEach(function (e) { if (!/^(alert|status)$/.test(e.getAttribute('role') || '')) { bad('said to nobody who listens [4.1.3]', e); } });
    all('a[href]').filter(function (a) { return seen(a) && !a.closest('body > header, footer'); }).forEach(function (a) {
      var is = name(a) + ' ' + byIds(a, 'aria-describedby');
      if (links[is] && links[is] !== a.href) { bad('links of one name to different places [2.4.4]', a); }
      links[is] = a.href;
    });
    all('p a[href], li a[href], td a[href]').filter(seen).forEach(function (a) { // colour alone does not make a link [1.4.1]
      var block = a.closest('p, li, td'), own = getComputedStyle(a);
      if (words(block) !== words(a) && own.textDecorationLine === 'none' && own.borderBottomStyle === 'none') { bad('a link by its colour alone [1.4.1]', a); }
    });
    return bad.list;
  }

  // Layout at the window's present width: nothing cut off or sideways, but in scrollers that the keyboard reaches [1.4.10, 1.4.12].
  function scroller(e) { return /auto|scroll/.test(getComputedStyle(e).overflowX) && e.scrollWidth > e.clientWidth + 1; }
  function inScroller(e) { for (e = e.parentElement; e && e !== document.body; e = e.parentElement) { if (scroller(e)) { return true; } } return false; }
  function wanted(select) { // the width that what is chosen takes
    var alone = select.cloneNode(false), width;
    alone.removeAttribute('id');
    if (select.selectedOptions.length) { alone.append(select.selectedOptions[0].cloneNode(true)); }
    alone.style.cssText = 'width:auto;max-width:none;position:absolute;visibility:hidden';
    select.after(alone);
    width = alone.getBoundingClientRect().width;
    alone.remove();
    return width;
  }
  async function layout() {
    for (var frame = 0; frame < 2; frame++) { await new Promise(requestAnimationFrame); }
    var bad = report(), room = document.documentElement.clientWidth;
    if (document.documentElement.scrollWidth > room) { bad('the page scrolls sideways', document.documentElement.scrollWidth + ' px of ' + room); }
    all('body *').forEach(function (e) {
      var box = e.getBoundingClientRect(), style;
      if (!seen(e) || hidden(e) || clipped(e)) { return; }
      if (scroller(e)) {
        if (e.tabIndex < 0 && !all(controls, e).some(seen)) { bad('the keyboard does not reach a scroller [2.1.1]', e); }
        if (e.tabIndex >= 0 && e.tagName !== 'FIGURE' && !(e.getAttribute('role') && (e.getAttribute('aria-label') || byIds(e, 'aria-labelledby')))) { bad('a scroller without a name [4.1.2]', e); }
        if (!e.matches('.scroll, .pan, figure, textarea')) { bad('scrolls, and is neither table nor drawing', e); }
      }
      if (e.closest('svg') && e.tagName !== 'svg') { return; }
      if (!inScroller(e) && (box.right > room + 1 || box.left < -1)) { bad('sticks out', e); return; }
      style = getComputedStyle(e);
      if (e.tagName === 'SELECT' && !document.adoptedStyleSheets.length && wanted(e) > box.width + 1) { bad('a choice is cut off', e); }
      if (e.matches('input, select, textarea')) { return; }
      if (/hidden|clip/.test(style.overflowX) && e.scrollWidth > e.clientWidth + 1) { bad('cut off', e); }
      if (/hidden|clip/.test(style.overflowY) && e.scrollHeight > e.clientHeight + 1) { bad('cut off below', e); }
      if (e.matches('button, .go') && e.scrollWidth > e.clientWidth + 1) { bad('cut off', e); }
    });
    return bad.list;
  }

  // Targets: at least so large, but for links within a sentence [2.5.8].
  function targets(least) {
    var bad = report();
    all(controls).filter(seen).forEach(function (e) {
      var target = e.matches('input[type=checkbox], input[type=radio]') ? e.closest('label') || e : e, box = target.getBoundingClientRect(), block = e.closest('p, li, dd, td, th, caption');
      if (hidden(e) || e.matches('.jump, .pan, .scroll, figure')) { return; }
      if (e.tagName === 'A' && getComputedStyle(e).display === 'inline' && block && words(block) !== words(e)) { return; }
      if (box.height < least - 0.01 || box.width < least - 0.01) { bad('only ' + box.width.toFixed(0) + ' × ' + box.height.toFixed(0) + ' px', e); }
    });
    return bad.list;
  }

  // Contrast of all text with what it stands on [1.4.3].
  function rgb(s) {
    var n = (s.match(/[\d.]+/g) || []).map(Number);
    return s.indexOf('rgb') === 0 && n.length >= 3 ? { r: n[0], g: n[1], b: n[2], a: n.length > 3 ? n[3] : 1 } : null;
  }
  function over(top, under) {
    function mix(x, y) { return x * top.a + y * (1 - top.a); }
    return { r: mix(top.r, under.r), g: mix(top.g, under.g), b: mix(top.b, under.b), a: 1 };
  }
  function luminance(c) {
    function linear(v) { v /= 255; return v <= 0.04045 ? v / 12.92 : Math.pow((v + 0.055) / 1.055, 2.4); }
    return 0.2126 * linear(c.r) + 0.7152 * linear(c.g) + 0.0722 * linear(c.b);
  }
  function ratio(a, b) { var x = luminance(a), y = luminance(b); return (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05); }
  function ground(e) {
    var layers = [], c;
    for (; e; e = e.parentElement) { c = rgb(getComputedStyle(e).backgroundColor); if (c && c.a > 0) { layers.push(c); if (c.a === 1) { break; } } }
    return layers.reverse().reduce(function (under, top) { return over(top, under); }, { r: 255, g: 255, b: 255, a: 1 });
  }
  function contrast() {
    var bad = report(), walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), node, e, style, size, least, got, done = new Set();
    while ((node = walk.nextNode())) {
      e = node.parentElement;
      if (!node.textContent.trim() || done.has(e) || e.closest('svg, script, style, template, [disabled], [data-state]') || !seen(e) || clipped(e) || hidden(e)) { continue; }
      done.add(e);
      style = getComputedStyle(e);
      size = parseFloat(style.fontSize);
      least = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700) ? 3 : 4.5;
      got = ratio(over(rgb(style.color), ground(e)), ground(e));
      if (got < least) { bad('contrast of ' + got.toFixed(2), e); }
    }
    return bad.list;
  }

  // Motion, where the reader asks for none [2.3.3].
  function motion() {
    var bad = report();
    all('*').forEach(function (e) {
      ['', '::before', '::after'].forEach(function (part) {
        var s = getComputedStyle(e, part || null);
        if (s.animationName !== 'none' || s.transitionDuration.split(',').some(function (d) { return parseFloat(d) > 0; }) || s.scrollBehavior === 'smooth') { bad('moves', e); }
      });
    });
    return bad.list;
  }

  // The way of the Tab key: each stop as it was when the focus came.
  var stops = [];
  function look(e) {
    var style = getComputedStyle(e), box = e.getBoundingClientRect(), colour = rgb(style.outlineColor), under = ground(e.parentElement || e);
    var x = Math.min(innerWidth - 1, Math.max(0, (box.left + box.right) / 2)), y = Math.min(innerHeight - 1, Math.max(0, (box.top + box.bottom) / 2)), top = document.elementFromPoint(x, y);
    return {
      e: e, box: { left: box.left + scrollX, top: box.top + scrollY, bottom: box.bottom + scrollY, right: box.right + scrollX },
      width: style.outlineStyle === 'none' ? 0 : parseFloat(style.outlineWidth), contrast: colour ? ratio(over(colour, under), under) : 0,
      covered: box.bottom <= 0 || box.top >= innerHeight || box.right <= 0 || box.left >= innerWidth || (top !== null && top !== e && !e.contains(top) && !top.contains(e) && getComputedStyle(top.closest('#notice, .turn') || e).position !== getComputedStyle(e).position)
    };
  }
  document.addEventListener('focusin', function (ev) { if (ev.target !== document.body) { stops.push(look(ev.target)); } });
  function tabbable() {
    var radios = {};
    return all(controls).filter(function (e) {
      if (!seen(e) || e.disabled || e.tabIndex < 0) { return false; }
      if (e.type !== 'radio') { return true; }
      var group = all('input[type=radio]').filter(function (o) { return o.name === e.name && o.form === e.form; }), chosen = group.find(function (o) { return o.checked; }) || group[0];
      return radios[e.name] || e !== chosen ? false : (radios[e.name] = true);
    });
  }
  function begin() {
    stops = [];
    document.querySelector('.skip').focus(); // from the top, wherever the focus was
    return tabbable().reduce(function (n, e) { return n + (e.type === 'date' ? 4 : e.type === 'time' ? 4 : 1); }, 0);
  }
  function around(e) { return e.closest('fieldset, figure, nav, table, .piece, section, form, details, header, footer, main') || document.body; }
  function walked() {
    var bad = report(), want = tabbable(), way = [], before = null;
    stops.forEach(function (s) { if (!way.length || way[way.length - 1].e !== s.e) { way.push(s); } });
    way = way.filter(function (s, i) { return i === way.findIndex(function (o) { return o.e === s.e; }); });
    want.forEach(function (e) { if (!way.some(function (s) { return s.e === e; })) { bad('Tab never reaches it [2.1.1]', e); } });
    way.forEach(function (s, i) {
      if (want.indexOf(s.e) < 0) { bad(scroller(s.e) ? 'a scroller has no name [4.1.2]' : 'Tab stops at no control', s.e); }
      if (s.width < 2 || s.contrast < 3) { bad('the focus is not seen: ' + s.width + ' px, ' + s.contrast.toFixed(2) + ' : 1 [2.4.7, 1.4.11]', s.e); }
      if (s.covered) { bad('the focus is off the screen or under something [2.4.11]', s.e); }
      if (before && around(before.e) === around(s.e) && s.box.bottom <= before.box.top + 1) { bad('Tab goes back up, after ' + where(before.e).slice(0, 60) + ' [2.4.3]', s.e); }
      if (before && around(before.e) === around(s.e) && s.box.top < before.box.bottom - 1 && s.box.bottom > before.box.top + 1 && s.box.right <= before.box.left + 1) { bad('Tab goes back left, after ' + where(before.e).slice(0, 60) + ' [2.4.3]', s.e); }
      before = s;
    });
    want.reduce(function (at, e) {
      var next = way.findIndex(function (s) { return s.e === e; });
      if (next >= 0 && next < at) { bad('Tab comes here early [2.4.3]', e); }
      return Math.max(at, next);
    }, -1);
    return bad.list;
  }

  // Wider letters, words, lines and paragraphs, as a reader may set them [1.4.12].
  var spaced = new CSSStyleSheet();
  spaced.replaceSync('*{line-height:1.5!important;letter-spacing:.12em!important;word-spacing:.16em!important}p{margin-bottom:2em!important}svg *{letter-spacing:normal!important;word-spacing:normal!important}');
  function spacing(on) { document.adoptedStyleSheets = on ? [spaced] : []; return true; }
  function folded() { return all('details:not([open]) > summary').filter(seen); }
  function nextFolded() { var s = folded()[0]; if (s) { s.focus(); } return s ? where(s) : ''; }

  return { structure: structure, layout: layout, targets: targets, contrast: contrast, motion: motion, begin: begin, walked: walked, spacing: spacing, nextFolded: nextFolded };
})();
true
