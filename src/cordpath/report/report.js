(function () {
  "use strict";
  function all(selector) { return Array.prototype.slice.call(document.querySelectorAll(selector)); }
  var form = document.querySelector("form.filters");
  var find = document.getElementById("find");
  var sheet = document.getElementById("sheet");
  var room = document.getElementById("room");
  var rule = document.getElementById("rule");
  var unfold = document.getElementById("unfold");
  var boxes = all("input[data-verdict]");
  var rows = all("#outlets tbody tr[id]");
  var pictures = all("#outlets details");
  var plans = all("section.sheet details");
  var fold = document.getElementById("fold");
  var FEW_ROWS = 80, FEW_PLANS = 6;  /* what a reader scrolls through; of more, the worst alone is open */
  /* rest: closed while nothing is filtered; shut: closed by hand since the filters changed */
  var groups = all("#outlets tbody").map(function (body, k) {
    return {
      rows: rows.filter(function (row) { return row.parentNode === body; }), body: body,
      button: body.querySelector("button"), fits: body.querySelector(".fits"),
      rest: k > 0 && rows.length > FEW_ROWS, shut: false
    };
  });
  var texts = rows.map(function (row) { return row.textContent.toLowerCase(); });
  var shown = document.getElementById("shown");
  function filtering() {
    return Boolean(find.value.trim() || sheet.value || room.value || rule.value) ||
      boxes.some(function (b) { return !b.checked; });
  }
  function draw() {
    var on = filtering();
    groups.forEach(function (g) {
      var closed = on ? g.shut : g.rest;
      g.body.classList.toggle("closed", closed);
      g.button.setAttribute("aria-expanded", String(!closed));
    });
    fold.textContent = groups.some(function (g) { return !(on ? g.shut : g.rest); }) ?
      "Close all sheets" : "Open all sheets";
  }
  function filter() {
    var text = find.value.trim().toLowerCase();
    var wanted = boxes.filter(function (b) { return b.checked; }).map(function (b) { return b.dataset.verdict; });
    var count = 0;
    rows.forEach(function (row, k) {
      var keep = wanted.indexOf(row.dataset.verdict) >= 0 && texts[k].indexOf(text) >= 0 &&
        (!sheet.value || row.dataset.sheet === sheet.value) &&
        (!room.value || row.dataset.room === room.value) &&
        (!rule.value || row.dataset.rules.indexOf("|" + rule.value + "|") >= 0);
      row.hidden = !keep;
      count += keep ? 1 : 0;
    });
    groups.forEach(function (g) {
      var fit = g.rows.filter(function (row) { return !row.hidden; }).length;
      g.body.hidden = !fit;
      g.fits.textContent = fit < g.rows.length ? fit + " shown" : "";
      g.shut = false;
    });
    draw();
    shown.textContent = count + " of " + rows.length + " shown";
  }
  groups.forEach(function (g) {
    g.button.addEventListener("click", function () {
      if (filtering()) { g.shut = !g.shut; } else { g.rest = !g.rest; }
      draw();
    });
  });
  fold.addEventListener("click", function () {
    var on = filtering();
    var close = groups.some(function (g) { return !(on ? g.shut : g.rest); });
    groups.forEach(function (g) { if (on) { g.shut = close; } else { g.rest = close; } });
    draw();
  });
  /* A link to an outlet that the filters hide shows all outlets again, and the picture of the one it leads to. */
  function arrive() {
    plans.forEach(function (d) {
      if (window.location.hash === "#" + d.parentNode.id) { d.open = true; d.parentNode.scrollIntoView(); }
    });
    rows.forEach(function (row) {
      if (window.location.hash === "#" + row.id) {
        if (row.hidden) { form.reset(); filter(); }
        groups.forEach(function (g) { if (g.body === row.parentNode) { g.rest = g.shut = false; } });
        draw();
        pictures.forEach(function (d) { if (row.contains(d)) { d.open = true; } });
        row.scrollIntoView({ block: "center" });
      }
    });
  }
  function every(list, open) { list.forEach(function (d) { d.open = open; }); }
  /* The table's head stays in view under the filters, which are as high as the window is narrow. */
  function measure() {
    var sticky = window.getComputedStyle(form).position === "sticky";
    document.documentElement.style.setProperty("--bar", (sticky ? form.offsetHeight : 0) + "px");
  }
  find.addEventListener("input", filter);
  boxes.concat([sheet, room, rule]).forEach(function (b) { b.addEventListener("change", filter); });
  form.addEventListener("submit", function (e) { e.preventDefault(); });
  form.addEventListener("reset", function () { window.setTimeout(filter, 0); });  /* the fields are reset after it */
  unfold.addEventListener("click", function () {
    var open = pictures.some(function (d) { return !d.open; });
    every(pictures, open);
    unfold.textContent = open ? "Close all pictures" : "Open all pictures";
  });
  var before = [], folding = pictures.concat(plans);
  window.addEventListener("beforeprint", function () {
    before = folding.map(function (d) { return d.open; });
    every(folding, true);
  });
  window.addEventListener("afterprint", function () {
    folding.forEach(function (d, k) { d.open = before[k]; });
  });
  window.addEventListener("hashchange", arrive);
  window.addEventListener("resize", measure);
  plans.forEach(function (d, k) { d.open = k === 0 || plans.length <= FEW_PLANS; });
  filter();
  measure();
  arrive();
})();
