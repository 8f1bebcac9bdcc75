// One flight in the hand: moved, scaled, its manoeuvres chosen and their ends moved by pointer or key.
// Every change goes through the page's own forms.

import { draw } from "./flight_drawing.js";
import { $, LEFT, RIGHT, clock, fetchSpan, inner, loadWhole, names, paper, refine, seconds, sheet, shift, survey, tenth, timeAt, view, width, xOf, zoom } from "./flight_sheet.js";

const fingers = new Map();

function choose(at, { fetch: ask = true, show = false } = {}) {
  sheet.chosen = at;
  const row = sheet.rows[at];
  for (const line of document.querySelectorAll(".list tr.chosen")) line.classList.remove("chosen");
  const button = document.querySelector(`[data-choose="${at}"]`);
  button?.closest("tr").classList.add("chosen");
  const place = $("card-reading"); // an edit's answer shows what it did to the chosen one
  if (place && row) { place.value = at; place.disabled = false; }
  if (row && sheet.whole && (show || row.end < sheet.from || row.start > sheet.to)) fill(row);
  if (row && ask) button?.click();
  draw();
}

function fill(row) {
  const room = Math.max((row.end - row.start) * 0.6, 8);
  view(row.start - room, row.end + room);
}

function send(row, place, time) {
  const field = $(`edge-${place}`);
  if (!field?.form) return;
  field.value = clock(time);
  field.form.requestSubmit();
}

function bound(row, place, time) {
  const before = row.edges[place - 1]?.time ?? -Infinity, next = row.edges[place + 1]?.time ?? Infinity;
  return tenth(Math.min(Math.max(time, before + 0.1, sheet.whole.from), next - 0.1, sheet.whole.to));
}

function local(event) {
  const box = paper.getBoundingClientRect();
  return event.clientX - box.left;
}

paper.addEventListener("pointerdown", (event) => {
  if (event.button !== 0 || !sheet.whole) return;
  const x = local(event), handle = event.target.closest?.("[data-handle]"), bracket = event.target.closest?.("[data-row]");
  fingers.set(event.pointerId, x);
  if (fingers.size === 2) { pinchFrom(); return; }
  if (handle) {
    const place = Number(handle.dataset.handle), row = sheet.rows[sheet.chosen];
    sheet.dragging = { kind: "edge", row: row.at, edge: place, time: row.edges[place].time, by: x - xOf(row.edges[place].time), moved: false };
    handle.focus({ preventScroll: true });
    event.preventDefault();
  } else if (pressed("span")) {
    sheet.span = [timeAt(x), timeAt(x)];
    sheet.dragging = { kind: "span" };
  } else sheet.dragging = { kind: "pan", x, from: sheet.from, to: sheet.to, moved: false, bracket: bracket?.dataset.row };
  paper.setPointerCapture(event.pointerId);
});

let pinch = null;
function pinchFrom() {
  const [a, b] = [...fingers.values()];
  pinch = { about: timeAt((a + b) / 2), apart: Math.abs(a - b), span: sheet.to - sheet.from };
  sheet.dragging = null;
}

paper.addEventListener("pointermove", (event) => {
  if (!sheet.whole) return;
  const x = local(event);
  if (fingers.has(event.pointerId)) fingers.set(event.pointerId, x);
  if (fingers.size === 2 && pinch) {
    const [a, b] = [...fingers.values()], span = (pinch.span * pinch.apart) / Math.max(Math.abs(a - b), 20);
    const share = ((a + b) / 2 - LEFT) / inner();
    view(pinch.about - share * span, pinch.about + (1 - share) * span);
    return;
  }
  sheet.cursor = x >= LEFT && x <= width() - RIGHT ? timeAt(x) : null;
  if (sheet.dragging?.kind === "edge") {
    const row = sheet.rows[sheet.dragging.row];
    sheet.dragging.time = bound(row, sheet.dragging.edge, timeAt(x - sheet.dragging.by));
    sheet.dragging.moved = sheet.dragging.moved || sheet.dragging.time !== tenth(row.edges[sheet.dragging.edge].time);
    const field = $(`edge-${sheet.dragging.edge}`);
    if (field) field.value = clock(sheet.dragging.time);
  } else if (sheet.dragging?.kind === "span") {
    sheet.span[1] = Math.min(Math.max(timeAt(x), sheet.whole.from), sheet.whole.to);
    spanFields();
  } else if (sheet.dragging?.kind === "pan" && (sheet.dragging.moved || Math.abs(x - sheet.dragging.x) > 4)) {
    sheet.dragging.moved = true;
    paper.classList.add("moving");
    const by = ((x - sheet.dragging.x) / inner()) * (sheet.dragging.to - sheet.dragging.from);
    view(sheet.dragging.from - by, sheet.dragging.to - by);
    return;
  }
  draw();
});

function lift(event) {
  fingers.delete(event.pointerId);
  pinch = null;
  const was = sheet.dragging;
  sheet.dragging = null;
  paper.classList.remove("moving");
  if (event.type === "pointercancel" || !was) { draw(); return; }
  if (was.kind === "edge" && was.moved) {
    const row = sheet.rows[was.row];
    row.edges[was.edge].time = was.time; // stays where it was put until the answer is here
    if (was.edge === 0) row.start = was.time;
    if (was.edge === row.edges.length - 1) row.end = was.time;
    send(row, was.edge, was.time);
  } else if (was.kind === "span") press("span", false);
  else if (was.kind === "pan" && !was.moved) {
    if (was.bracket !== undefined) choose(Number(was.bracket));
    else pin(timeAt(was.x));
  }
  draw();
}
paper.addEventListener("pointerup", lift);
paper.addEventListener("pointercancel", lift);
paper.addEventListener("pointerleave", () => { sheet.cursor = null; draw(); });

function pin(time) {
  sheet.pinned = tenth(Math.min(Math.max(time, sheet.whole.from), sheet.whole.to));
  const field = $("mark-time");
  if (field) field.value = clock(sheet.pinned);
}

function spanFields() {
  const [start, end] = [Math.min(...sheet.span), Math.max(...sheet.span)];
  if ($("span-start")) { $("span-start").value = clock(start); $("span-end").value = clock(end); }
}

paper.addEventListener("dblclick", (event) => {
  const row = event.target.closest?.("[data-row]");
  if (row) fill(sheet.rows[Number(row.dataset.row)]);
  else zoom(0.4, timeAt(local(event)));
});

paper.addEventListener("wheel", (event) => {
  if (!sheet.whole) return;
  if (event.ctrlKey || event.metaKey) { event.preventDefault(); zoom(1.0018 ** event.deltaY, timeAt(local(event))); }
  else if (Math.abs(event.deltaX) > Math.abs(event.deltaY) || event.shiftKey) { event.preventDefault(); shift((event.shiftKey ? event.deltaY + event.deltaX : event.deltaX) / inner()); }
}, { passive: false });

let settling = null;
paper.addEventListener("keydown", (event) => {
  if (!sheet.whole || event.ctrlKey || event.metaKey) return;
  const handle = event.target.closest?.("[data-handle]");
  const ways = { ArrowLeft: -1, ArrowRight: 1, ArrowDown: -1, ArrowUp: 1 };
  if (handle && event.key in ways) {
    const place = Number(handle.dataset.handle), row = sheet.rows[sheet.chosen], step = event.shiftKey ? 5 : event.altKey ? 0.1 : 1;
    const time = bound(row, place, row.edges[place].time + ways[event.key] * step);
    row.edges[place].time = time;
    if (place === 0) row.start = time;
    if (place === row.edges.length - 1) row.end = time;
    const field = $(`edge-${place}`);
    if (field) field.value = clock(time);
    clearTimeout(settling);
    settling = setTimeout(() => send(row, place, time), 700); // when the keys rest
    draw();
  } else if (event.key === "ArrowLeft") shift(-0.1);
  else if (event.key === "ArrowRight") shift(0.1);
  else if (event.key === "+" || event.key === "=") zoom(0.6);
  else if (event.key === "-") zoom(1 / 0.6);
  else if (event.key === "0") view(sheet.whole.from, sheet.whole.to);
  else if (event.key === "PageDown" || event.key === "PageUp") {
    const next = (sheet.chosen ?? (event.key === "PageDown" ? -1 : sheet.rows.length)) + (event.key === "PageDown" ? 1 : -1);
    if (sheet.rows[next]) choose(next);
  } else if (event.key === "Escape") { sheet.span = sheet.pinned = null; press("span", false); draw(); }
  else return;
  event.preventDefault();
});

// The tools

const tool = (name) => survey.querySelector(`[data-do="${name}"]`);
const pressed = (name) => tool(name).getAttribute("aria-pressed") === "true";
function press(name, on) {
  tool(name).setAttribute("aria-pressed", String(on));
  paper.classList.toggle("spanning", on);
}

survey.addEventListener("click", (event) => {
  const name = event.target.closest?.("[data-do]")?.dataset.do;
  if (name === "in") zoom(0.5);
  if (name === "out") zoom(2);
  if (name === "whole") view(sheet.whole.from, sheet.whole.to);
  if (name === "span") press("span", !pressed("span"));
});

$("third").addEventListener("change", async (event) => {
  sheet.third = event.target.value;
  sheet.whole = await fetchSpan(null, null, names());
  refine(true);
});

document.addEventListener("click", (event) => {
  const button = event.target.closest?.("[data-choose]");
  if (button) choose(Number(button.dataset.choose), { fetch: false, show: event.isTrusted });
});

// A typed moment moves its handle while it is typed.
document.addEventListener("input", (event) => {
  const place = event.target.dataset?.edge, row = sheet.rows[sheet.chosen];
  const time = place === undefined || !row || !sheet.whole ? null : seconds(event.target.value);
  if (time === null) return;
  row.edges[place].time = time;
  draw();
});

// Beginning, and again after each edit

function takeUp() {
  const data = $("flight-data");
  if (!data || data.dataset.taken) return;
  data.dataset.taken = "yes";
  const found = JSON.parse(data.textContent);
  sheet.rows = found.rows;
  sheet.out = found.out;
  sheet.marks = found.marks;
  sheet.span = null;
  sheet.chosen = found.chosen;
  delete survey.dataset.waiting;
  if (found.chosen !== null) choose(found.chosen, { fetch: false });
  if (sheet.whole) draw(); else loadWhole().then(() => { if (sheet.rows[sheet.chosen]) fill(sheet.rows[sheet.chosen]); toSpan(); });
}

// '#span=307.2-319.8' in the address: the manoeuvre that shares most of those seconds, or else the seconds alone.
function toSpan() {
  const match = /^#span=(-?[\d.]+)-(-?[\d.]+)$/.exec(location.hash);
  if (!match || !sheet.whole) return;
  const [from, to] = [Number(match[1]), Number(match[2])];
  const shared = sheet.rows.map((row) => Math.min(row.end, to) - Math.max(row.start, from));
  const best = shared.indexOf(Math.max(...shared));
  if (shared[best] > 0) choose(best);
  fill({ start: from, end: to });
}

if (survey) {
  document.addEventListener("htmx:after:swap", takeUp);
  new ResizeObserver(() => { draw(); refine(); }).observe(paper);
  window.matchMedia("(prefers-color-scheme: dark)").addEventListener("change", draw);
  document.fonts?.ready.then(draw);
  window.addEventListener("hashchange", toSpan);
  takeUp();
}
