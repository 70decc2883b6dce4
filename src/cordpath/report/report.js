(function () {
  "use strict";
  var find = document.getElementById("find");
  var boxes = Array.prototype.slice.call(document.querySelectorAll("input[data-verdict]"));
  var rows = Array.prototype.slice.call(document.querySelectorAll("#outlets tbody tr"));
  var shown = document.getElementById("shown");
  function filter() {
    var text = find.value.trim().toLowerCase();
    var wanted = boxes.filter(function (b) { return b.checked; }).map(function (b) { return b.dataset.verdict; });
    var count = 0;
    rows.forEach(function (row) {
      var keep = wanted.indexOf(row.dataset.verdict) >= 0 && row.textContent.toLowerCase().indexOf(text) >= 0;
      row.hidden = !keep;
      count += keep ? 1 : 0;
    });
    shown.textContent = count + " of " + rows.length + " shown";
  }
  find.addEventListener("input", filter);
  boxes.forEach(function (b) { b.addEventListener("change", filter); });
  filter();
})();
