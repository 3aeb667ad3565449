(function () {
  "use strict";
  var form = document.getElementById("paper");
  var area = document.getElementById("text");
  var told = document.getElementById("told");
  var printed = area.value;
  function every(within, what) { return Array.prototype.slice.call(within.querySelectorAll(what)); }
  function oneLine(value) { return value.replace(/[\s\[\]()`#|>_~]+/g, " ").trim(); }
  function fillBlank(line, before, value) {
    var at = line.indexOf(before);
    if (at < 0) { return line; }
    var from = at + before.length;
    return line.slice(0, from) + line.slice(from).replace(/^( ?)_+/, function (blank, gap) { return gap + value; });
  }
  function fillSet(lines, set) {
    var key = set.dataset.key;
    var begins = new RegExp("^(\\d+ )?" + key + ":");
    every(set, "[data-tick]:checked").forEach(function (box) {
      lines.forEach(function (line, place) {
        if (begins.test(line)) { lines[place] = line.replace("[ ] " + box.dataset.tick, "[x] " + box.dataset.tick); }
      });
    });
    every(set, "[data-cell]").forEach(function (field) {
      var value = oneLine(field.value);
      if (!value) { return; }
      lines.forEach(function (line, place) {
        if (begins.test(line)) {
          var name = field.dataset.cell === key ? key + ":" : field.dataset.cell;
          lines[place] = fillBlank(line, name, value);
        }
      });
    });
    var price = set.querySelector("[data-price]");
    var words = set.querySelector("[data-words]");
    lines.forEach(function (line, place) {
      if (!begins.test(line)) { return; }
      if (price && oneLine(price.value)) { line = fillBlank(line, "price", oneLine(price.value)); }
      if (words && oneLine(words.value)) {
        line = key.indexOf("also-") === 0 ? fillBlank(line, key + ":", oneLine(words.value)) : line + "\n" + oneLine(words.value);
      }
      lines[place] = line;
    });
  }
  function filled() {
    var lines = printed.split("\n");
    every(form, "fieldset[data-key]").forEach(function (set) { fillSet(lines, set); });
    every(form, "[data-blank]").forEach(function (field) {
      var value = oneLine(field.value);
      if (value) { lines = lines.map(function (line) { return fillBlank(line, field.dataset.blank, value); }); }
    });
    every(form, "[data-choice]").forEach(function (field) {
      var value = oneLine(field.value);
      if (value) { lines = lines.map(function (line) { return line.replace(field.dataset.choice + " yes / no", field.dataset.choice + " " + value); }); }
    });
    return lines.join("\n");
  }
  function show() { area.value = filled(); told.textContent = ""; }
  form.addEventListener("change", function (event) {
    var box = event.target;
    if (box.dataset.tick && box.checked) {
      every(box.closest("fieldset"), "[data-tick]").forEach(function (other) { if (other !== box) { other.checked = false; } });
    }
    show();
  });
  form.addEventListener("input", show);
  form.addEventListener("submit", function (event) { event.preventDefault(); });
  document.getElementById("copy").addEventListener("click", function () {
    show();
    function byHand() {
      area.focus();
      area.select();
      var done = false;
      try { done = document.execCommand("copy"); } catch (problem) { done = false; }
      told.textContent = done ? "Copied. Paste it into a message." : "The text below is selected: copy it and send it.";
    }
    if (!navigator.clipboard || !navigator.clipboard.writeText) { byHand(); return; }
    navigator.clipboard.writeText(area.value).then(function () { told.textContent = "Copied. Paste it into a message."; }, byHand);
  });
  document.getElementById("send").hidden = false;
}());
