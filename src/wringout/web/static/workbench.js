// What the pages need of their own: the line of a text that a problem names, and one request for one key.
function toLine(field) {
  const line = Number(field.dataset.line);
  if (!line) return;
  const lines = field.value.split("\n");
  const start = lines.slice(0, line - 1).reduce((sum, text) => sum + text.length + 1, 0);
  field.focus();
  field.setSelectionRange(start, start + (lines[line - 1] ?? "").length);
  const height = parseFloat(getComputedStyle(field).lineHeight);
  field.scrollTop = Math.max(0, (line - 6) * height);
}

document.querySelectorAll("textarea[data-line]").forEach(toLine);

// Enter in a changed field is both a change and a submission: it is sent once.
const SAME_KEY = 50; // ms
const changedAt = new WeakMap();
document.addEventListener(
  "change",
  (event) => {
    if (event.target.form) changedAt.set(event.target.form, performance.now());
  },
  true,
);
document.addEventListener(
  "submit",
  (event) => {
    const both = event.target.matches('[hx-trigger*="change"][hx-trigger*="submit"]');
    if (both && performance.now() - (changedAt.get(event.target) ?? -Infinity) < SAME_KEY) {
      event.preventDefault();
      event.stopImmediatePropagation();
    }
  },
  true,
);
