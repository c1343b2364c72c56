(function () {
  "use strict";
  var mark = document.documentElement.getAttribute("data-mark");
  var boxes = [].slice.call(document.querySelectorAll("input[type=checkbox]"));
  var clear = document.getElementById("clear");
  if (!mark || !boxes.length) { return; }
  var key = "coldwright ticks " + mark;
  function show() {
    var kept = {};
    try { kept = JSON.parse(localStorage.getItem(key)) || {}; } catch (e) { kept = {}; }
    boxes.forEach(function (b) {
      b.checked = typeof kept[b.id] === "boolean" ? kept[b.id] : b.defaultChecked;
    });
  }
  function keep() {
    var kept = {}, any = false;
    boxes.forEach(function (b) {
      if (b.checked !== b.defaultChecked) { kept[b.id] = b.checked; any = true; }
    });
    try {
      if (any) { localStorage.setItem(key, JSON.stringify(kept)); } else { localStorage.removeItem(key); }
    } catch (e) { /* no room or no leave: the ticks last as long as the page */ }
  }
  show();
  document.addEventListener("change", keep);
  window.addEventListener("pageshow", show);
  window.addEventListener("storage", function (e) { if (e.key === key || e.key === null) { show(); } });
  if (clear) {
    clear.hidden = false;
    clear.addEventListener("click", function () {
      if (!window.confirm(clear.textContent + "?")) { return; }
      boxes.forEach(function (b) { b.checked = b.defaultChecked; });
      keep();
      window.scrollTo(0, 0);
    });
  }
})();
