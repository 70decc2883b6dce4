(function () {
  "use strict";
  function all(selector) { return Array.prototype.slice.call(document.querySelectorAll(selector)); }
  var find = document.getElementById("find");
  var room = document.getElementById("room");
  var rule = document.getElementById("rule");
  var boxes = all("input[data-verdict]");
  var rows = all("#outlets tbody tr");
  var texts = rows.map(function (row) { return row.textContent.toLowerCase(); });
  var shown = document.getElementById("shown");
  function filter() {
    var text = find.value.trim().toLowerCase();
    var wanted = boxes.filter(function (b) { return b.checked; }).map(function (b) { return b.dataset.verdict; });
    var count = 0;
    rows.forEach(function (row, k) {
      var keep = wanted.indexOf(row.dataset.verdict) >= 0 && texts[k].indexOf(text) >= 0 &&
        (!room.value || row.dataset.room === room.value) &&
        (!rule.value || row.dataset.rules.indexOf("|" + rule.value + "|") >= 0);
      row.hidden = !keep;
      count += keep ? 1 : 0;
    });
    shown.textContent = count + " of " + rows.length + " shown";
  }
  find.addEventListener("input", filter);
  boxes.concat([room, rule]).forEach(function (b) { b.addEventListener("change", filter); });
  document.querySelector("form.filters").addEventListener("submit", function (e) { e.preventDefault(); });
  window.addEventListener("beforeprint", function () {
    all("#outlets details").forEach(function (d) { d.open = true; });
  });
  filter();
})();
