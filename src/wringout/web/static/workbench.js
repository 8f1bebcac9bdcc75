// What the pages need of their own: the line of a text that a problem names.
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
