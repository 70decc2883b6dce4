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
  var rows = all("#outlets tbody tr");
  var pictures = all("#outlets details");
  var texts = rows.map(function (row) { return row.textContent.toLowerCase(); });
  var shown = document.getElementById("shown");
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
    shown.textContent = count + " of " + rows.length + " shown";
  }
  /* A link to an outlet that the filters hide shows all outlets again, and the picture of the one it leads to. */
  function arrive() {
    rows.forEach(function (row) {
      if (window.location.hash === "#" + row.id) {
        if (row.hidden) { form.reset(); filter(); }
        pictures.forEach(function (d) { if (row.contains(d)) { d.open = true; } });
        row.scrollIntoView({ block: "center" });
      }
    });
  }
  function every(open) { pictures.forEach(function (d) { d.open = open; }); }
  find.addEventListener("input", filter);
  boxes.concat([sheet, room, rule]).forEach(function (b) { b.addEventListener("change", filter); });
  form.addEventListener("submit", function (e) { e.preventDefault(); });
  form.addEventListener("reset", function () { window.setTimeout(filter, 0); });  /* the fields are reset after it */
  unfold.addEventListener("click", function () {
    var open = pictures.some(function (d) { return !d.open; });
    every(open);
    unfold.textContent = open ? "Close all pictures" : "Open all pictures";
  });
  var before = [];
  window.addEventListener("beforeprint", function () {
    before = pictures.map(function (d) { return d.open; });
    every(true);
  });
  window.addEventListener("afterprint", function () {
    pictures.forEach(function (d, k) { d.open = before[k]; });
  });
  window.addEventListener("hashchange", arrive);
  filter();
  arrive();
})();
