// Keeps an empty row at the end of each table of a job that is being filled in. Without it a row comes with each saving.
(function () {
  'use strict';
  document.querySelectorAll('table.entry tbody').forEach(function (body) {
    body.addEventListener('input', function (ev) {
      var last = body.rows[body.rows.length - 1], next, from, to;
      if (!last.contains(ev.target) || ev.target.type === 'checkbox') { return; }
      from = last.dataset.row;
      to = from[0] + (Number(from.slice(1)) + 1);
      next = last.cloneNode(true);
      next.dataset.row = to;
      next.querySelectorAll('[id], [name], [for], [aria-describedby], [value]').forEach(function (e) {
        ['id', 'name', 'for', 'aria-describedby', 'value'].forEach(function (a) {
          var v = e.getAttribute(a);
          if (v !== null) { e.setAttribute(a, v.replace(new RegExp('(^|-)' + from + '(?=-|$)'), '$1' + to)); }
        });
        if (e.matches('input:not([type=checkbox])')) { e.setAttribute('value', ''); e.value = ''; }
        e.removeAttribute('aria-invalid');
      });
      next.querySelectorAll('.visually-hidden').forEach(function (e) { e.textContent = e.textContent.replace(/\d+/, body.rows.length + 1); });
      next.querySelectorAll('.error').forEach(function (e) { e.textContent = ''; });
      next.querySelectorAll('.wrong').forEach(function (e) { e.classList.remove('wrong'); });
      body.append(next);
    });
  });
})();
