// The sheet of one flight: traces and track drawn from what the server sends for the span in view, brackets above them,
// and their ends moved by pointer or key. Every change goes through the page's own forms.

const $ = (id) => document.getElementById(id);
const survey = $("survey");
const paper = $("paper"), lines = $("lines"), brackets = $("brackets"), plan = $("plan");
const LEFT = 64, RIGHT = 16, TOP = 74, FOOT = 28, GAP = 26;
const SHARES = [5, 4, 2.4]; // heights of the three traces
const SVG = "http://www.w3.org/2000/svg";

const sheet = { data: null, whole: null, from: 0, to: 1, rows: [], chosen: null, cursor: null, pinned: null, span: null, start: 0, third: "" };
let dragging = null; // what a pointer holds: { kind, … }
const fingers = new Map();

// Time and places ---------------------------------------------------------------------------------------------------

const width = () => paper.clientWidth;
const height = () => paper.clientHeight;
const inner = () => Math.max(1, width() - LEFT - RIGHT);
const xOf = (time) => LEFT + ((time - sheet.from) / (sheet.to - sheet.from)) * inner();
const timeAt = (x) => sheet.from + ((x - LEFT) / inner()) * (sheet.to - sheet.from);
const tenth = (time) => Math.round(time * 10) / 10;

function clock(time, digits = 1) {
  const factor = 10 ** digits;
  const ticks = Math.round((sheet.start + time) * factor);
  const day = 86400 * factor;
  const within = ((ticks % day) + day) % day;
  const seconds = Math.floor(within / factor);
  const two = (number) => String(number).padStart(2, "0");
  const text = `${two(Math.floor(seconds / 3600))}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
  return digits ? `${text}.${String(within % factor).padStart(digits, "0")}` : text;
}

function seconds(text) {
  const match = /^(\d\d):(\d\d):(\d\d(?:\.\d+)?)/.exec(text.trim());
  if (!match) return null;
  const day = 86400, of = Number(match[1]) * 3600 + Number(match[2]) * 60 + Number(match[3]);
  let time = of - (sheet.start % day);
  while (time < sheet.whole.from - day / 2) time += day;
  while (time > sheet.whole.to + day / 2) time -= day;
  return time;
}

// Data --------------------------------------------------------------------------------------------------------------

let asked = 0;
async function fetchSpan(from, to, names) {
  const query = new URLSearchParams();
  for (const name of names) query.append("names", name);
  if (from !== null) { query.set("start", from); query.set("end", to); }
  // Two samples for each pixel that is drawn on.
  query.set("most", String(Math.min(8000, Math.max(200, Math.round(inner() * 2)))));
  const answer = await fetch(`${survey.dataset.traces}?${query}`, { headers: { "HX-Request": "true" } });
  if (!answer.ok) throw new Error(`traces: ${answer.status}`);
  return answer.json();
}

function names() {
  const usual = sheet.whole?.usual ?? ["height"];
  return sheet.third ? [usual[0], usual[1], sheet.third] : usual;
}

async function loadWhole() {
  const first = await fetchSpan(null, null, ["height"]);
  sheet.whole = first;
  sheet.start = first.start;
  sheet.third = first.usual[2];
  if (!(sheet.to > sheet.from) || sheet.to === 1) { sheet.from = first.from; sheet.to = first.to; }
  const select = $("third");
  select.replaceChildren(...first.names.filter((name) => name !== first.usual[0] && name !== first.usual[1]).map((name) => {
    const option = document.createElement("option");
    option.textContent = name;
    option.selected = name === sheet.third;
    return option;
  }));
  sheet.whole = await fetchSpan(null, null, names());
  sheet.data = sheet.whole;
  if (sheet.rows[sheet.chosen]) fill(sheet.rows[sheet.chosen]); else refine(true);
}

let waiting = null;
// More is fetched than is seen, so that moving a little shows no blank paper.
function refine(soon = false) {
  clearTimeout(waiting);
  waiting = setTimeout(async () => {
    if (!sheet.whole) return;
    const mine = ++asked, spread = (sheet.to - sheet.from) * 0.5;
    const near = sheet.from - spread <= sheet.whole.from && sheet.to + spread >= sheet.whole.to;
    const data = near ? sheet.whole : await fetchSpan(sheet.from - spread, sheet.to + spread, names());
    if (mine !== asked) return;
    sheet.data = data;
    draw();
  }, soon ? 0 : 90);
}

function view(from, to) {
  const { from: low, to: high } = sheet.whole;
  const span = Math.min(Math.max(to - from, 2), (high - low) * 1.04);
  const room = span * 0.5;
  const middle = Math.min(Math.max((from + to) / 2, low - room + span / 2), high + room - span / 2);
  const bounded = span >= high - low ? (low + high) / 2 : middle;
  sheet.from = bounded - span / 2;
  sheet.to = bounded + span / 2;
  draw();
  refine();
}

const zoom = (factor, about = (sheet.from + sheet.to) / 2) =>
  view(about - (about - sheet.from) * factor, about + (sheet.to - about) * factor);
const shift = (share) => view(sheet.from + share * (sheet.to - sheet.from), sheet.to + share * (sheet.to - sheet.from));

// Drawing -----------------------------------------------------------------------------------------------------------

function colours() {
  const style = getComputedStyle(document.documentElement);
  const of = (name) => style.getPropertyValue(name).trim();
  return { paper: of("--paper"), ink: of("--ink"), rule: of("--rule"), muted: of("--muted"), rust: of("--rust"), lake: of("--lake"), stone: of("--stone") };
}

function ready(canvas) {
  const ratio = window.devicePixelRatio || 1, w = canvas.clientWidth, h = canvas.clientHeight;
  if (canvas.width !== Math.round(w * ratio) || canvas.height !== Math.round(h * ratio)) {
    canvas.width = Math.round(w * ratio);
    canvas.height = Math.round(h * ratio);
  }
  const pen = canvas.getContext("2d");
  pen.setTransform(ratio, 0, 0, ratio, 0, 0);
  pen.clearRect(0, 0, w, h);
  pen.lineJoin = "round";
  pen.font = '400 13px "Source Sans 3", sans-serif';
  return [pen, w, h];
}

function niceStep(span, most) {
  const rough = span / most, power = 10 ** Math.floor(Math.log10(rough));
  return [1, 2, 5, 10].map((k) => k * power).find((step) => step >= rough);
}
const TIME_STEPS = [0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200];

function number(value, step) {
  const digits = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  const [whole, part] = Math.abs(value).toFixed(digits).split(".");
  const grouped = whole.replace(/\B(?=(\d{3})+$)/g, "\u202f");
  return (value < 0 && Number(value.toFixed(digits)) !== 0 ? "−" : "") + grouped + (part ? `.${part}` : "");
}

function panels(h) {
  const shares = SHARES.slice(0, sheet.data.traces.length), sum = shares.reduce((a, b) => a + b, 0);
  const room = h - TOP - FOOT - GAP * shares.length;
  let top = TOP + GAP;
  return sheet.data.traces.map((trace, k) => {
    const tall = (room * shares[k]) / sum;
    let [low, high] = seen(trace);
    if (!(high > low)) { low -= 1; high += 1; }
    const air = (high - low) * 0.05;
    const panel = { trace, top, bottom: top + tall, low: low - air, high: high + air };
    top += tall + GAP;
    return panel;
  });
}

// The scale fits what is in view, so that a roll of a few knots fills the paper as well as a whole flight does.
function seen(trace) {
  let low = Infinity, high = -Infinity;
  const { time, values } = trace;
  for (let k = 0; k < time.length; k++) {
    const value = values[k];
    if (value === null || time[k] < sheet.from || time[k] > sheet.to) continue;
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return low <= high ? [low, high] : trace.range;
}

const yOf = (panel, value) => panel.bottom - ((value - panel.low) / (panel.high - panel.low)) * (panel.bottom - panel.top);

let pending = false;
function draw() {
  if (pending) return;
  pending = true;
  requestAnimationFrame(() => { pending = false; if (sheet.data) { drawLines(); drawBrackets(); drawPlan(); } });
}

function drawLines() {
  const [pen, w, h] = ready(lines), ink = colours(), all = panels(h);
  pen.textBaseline = "middle";
  const step = TIME_STEPS.find((one) => one >= (sheet.to - sheet.from) / Math.max(2, inner() / 110)) ?? 14400;
  const offset = sheet.start % step, bottom = h - FOOT;
  pen.lineWidth = 1;
  for (let t = Math.ceil((sheet.from + offset) / step) * step - offset; t <= sheet.to; t += step) {
    const x = Math.round(xOf(t)) + 0.5;
    if (x < LEFT || x > w - RIGHT) continue;
    pen.strokeStyle = ink.rule;
    pen.beginPath(); pen.moveTo(x, TOP); pen.lineTo(x, bottom); pen.stroke();
    pen.fillStyle = ink.ink;
    pen.textAlign = "center";
    const text = step < 1 ? clock(t, 1) : step < 60 ? clock(t, 0) : clock(t, 0).slice(0, 5);
    if (x < w - 24) pen.fillText(text, x, bottom + 14);
  }
  shade(pen, ink, bottom);
  const pens = [ink.ink, ink.lake, ink.stone];
  all.forEach((panel, k) => {
    const rule = niceStep(panel.high - panel.low, Math.max(2, (panel.bottom - panel.top) / 30));
    pen.strokeStyle = ink.rule;
    pen.fillStyle = ink.ink;
    pen.textAlign = "right";
    for (let v = Math.ceil(panel.low / rule) * rule; v <= panel.high; v += rule) {
      const y = Math.round(yOf(panel, v)) + 0.5;
      pen.beginPath(); pen.moveTo(LEFT, y); pen.lineTo(w - RIGHT, y); pen.stroke();
      pen.fillText(number(v, rule), LEFT - 8, y);
    }
    pen.textAlign = "left";
    pen.fillText(`${panel.trace.name}, ${panel.trace.unit}`, LEFT + 2, panel.top - 12);
    stroke(pen, panel, pens[k], w);
  });
  cursor(pen, ink, all, bottom);
}

function shade(pen, ink, bottom) {
  const band = (from, to, colour, alpha) => {
    const a = Math.max(xOf(from), LEFT), b = Math.min(xOf(to), width() - RIGHT);
    if (b <= a) return;
    pen.globalAlpha = alpha;
    pen.fillStyle = colour;
    pen.fillRect(a, TOP, b - a, bottom - TOP);
    pen.globalAlpha = 1;
  };
  for (const row of sheet.rows) band(row.start, row.end, ink.ink, 0.045);
  const chosen = sheet.rows[sheet.chosen];
  if (chosen) band(held(chosen, "start"), held(chosen, "end"), ink.rust, 0.1);
  if (sheet.span) band(Math.min(...sheet.span), Math.max(...sheet.span), ink.rust, 0.16);
}

function stroke(pen, panel, colour, w) {
  const { time, values } = panel.trace;
  pen.save();
  pen.beginPath();
  pen.rect(LEFT, panel.top - 2, w - LEFT - RIGHT, panel.bottom - panel.top + 4);
  pen.clip();
  pen.beginPath();
  let down = false;
  for (let k = 0; k < time.length; k++) {
    if (values[k] === null) { down = false; continue; }
    const x = xOf(time[k]), y = yOf(panel, values[k]);
    if (down) pen.lineTo(x, y); else { pen.moveTo(x, y); down = true; }
  }
  pen.strokeStyle = colour;
  pen.lineWidth = 1.4;
  pen.stroke();
  pen.restore();
}

function at(trace, time) {
  const index = after(trace.time, time);
  if (index <= 0 || index >= trace.time.length) return null;
  const [a, b] = [trace.values[index - 1], trace.values[index]];
  if (a === null || b === null) return null;
  const share = (time - trace.time[index - 1]) / Math.max(trace.time[index] - trace.time[index - 1], 1e-9);
  return a + (b - a) * share;
}

function after(times, time) {
  let low = 0, high = times.length;
  while (low < high) { const middle = (low + high) >> 1; if (times[middle] < time) low = middle + 1; else high = middle; }
  return low;
}

function cursor(pen, ink, all, bottom) {
  for (const [time, colour] of [[sheet.pinned, ink.rust], [sheet.cursor, ink.muted]]) {
    if (time === null || time < sheet.from || time > sheet.to) continue;
    const x = xOf(time);
    pen.strokeStyle = colour;
    pen.lineWidth = 1;
    pen.beginPath(); pen.moveTo(x, TOP); pen.lineTo(x, bottom); pen.stroke();
    for (const panel of all) {
      const value = at(panel.trace, time);
      if (value === null) continue;
      pen.fillStyle = colour;
      pen.beginPath(); pen.arc(x, yOf(panel, value), 3, 0, 7); pen.fill();
    }
  }
  const time = sheet.cursor ?? sheet.pinned;
  $("readout").textContent = time === null ? "" : [clock(time), ...all.map(({ trace }) => {
    const value = at(trace, time), step = niceStep(Math.max(trace.range[1] - trace.range[0], 1e-6), 200);
    return `${trace.name} ${value === null ? "–" : number(value, step)} ${trace.unit}`;
  })].join("   ");
}

// Brackets ----------------------------------------------------------------------------------------------------------

function make(tag, attributes = {}, text = "") {
  const node = document.createElementNS(SVG, tag);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  if (text) node.textContent = text;
  return node;
}

let ruler = null;
function textWidth(text) {
  ruler ??= document.createElement("canvas").getContext("2d");
  ruler.font = '400 13px "Source Sans 3", sans-serif';
  return ruler.measureText(text).width;
}

function held(row, end) {
  if (dragging?.kind !== "edge" || dragging.row !== row.at) return row[end];
  const place = end === "start" ? 0 : row.edges.length - 1;
  return dragging.edge === place ? dragging.time : row[end];
}

// Each by its name where there is room; a run of one kind together where there is not.
function named(rows) {
  const runs = [];
  for (const row of rows) {
    const last = runs.at(-1);
    if (last && last[0].kind === row.kind) last.push(row); else runs.push([row]);
  }
  const free = [LEFT - 30, LEFT - 30];
  const placed = [];
  const put = (words, from, to, row) => {
    const a = Math.max(from, LEFT), b = Math.min(to, width() - RIGHT), half = textWidth(words) / 2 + 5;
    let middle = Math.min(Math.max((a + b) / 2, LEFT - 20 + half), width() - half);
    const line = [0, 1].find((one) => middle - half >= free[one]);
    if (line === undefined || b < a) return false;
    free[line] = middle + half;
    placed.push({ words, x: middle, line, row });
    return true;
  };
  for (const run of runs) {
    const each = run.map((row) => ({ row, words: row.point ? `${row.kind} ${row.point}` : row.kind }));
    const room = each.every(({ row, words }) => textWidth(words) + 8 < xOf(row.end) - xOf(row.start));
    if (run.length === 1 || room) {
      for (const { row, words } of each) put(words, xOf(row.start), xOf(row.end), row.at) || put(row.kind, xOf(row.start), xOf(row.end), row.at);
    } else put(`${run.length} ${run[0].kind}s`, xOf(run[0].start), xOf(run.at(-1).end), null);
  }
  return placed;
}

function drawBrackets() {
  const inView = sheet.rows.filter((row) => row.end >= sheet.from && row.start <= sheet.to);
  const parts = [];
  const clip = (x) => Math.min(Math.max(x, LEFT), width() - RIGHT);
  for (const row of inView) {
    const start = xOf(held(row, "start")), end = xOf(held(row, "end"));
    const a = clip(start), b = Math.max(clip(end), clip(start) + 1.5), level = TOP - 12;
    const chosen = row.at === sheet.chosen;
    const group = make("g", { class: `bracket${chosen ? " chosen" : ""}${row.by_hand ? " hand" : ""}`, "data-row": row.at, "aria-hidden": "true" });
    group.append(make("title", {}, `${row.kind}${row.point ? `, point ${row.point}` : ""}, ${row.from.slice(0, 8)} to ${row.to.slice(0, 8)}${row.by_hand ? ", set by hand" : ""}`));
    group.append(make("rect", { class: "reach", x: a - 4, y: 8, width: Math.max(b - a + 8, 16), height: TOP - 8 }));
    const left = start < LEFT ? `M${a} ${level}` : `M${a} ${level + 8}V${level}`;
    const right = end > width() - RIGHT ? `H${b}` : `H${b}V${level + 8}`;
    group.append(make("path", { d: `${left}${right}` }));
    parts.push(group);
  }
  for (const { words, x, line, row } of named(inView)) {
    const group = parts.find((one) => row !== null && one.dataset.row === String(row));
    const text = make("text", { x, y: TOP - 20 - line * 17, "text-anchor": "middle", "aria-hidden": "true" }, words);
    if (group) group.append(text); else parts.unshift(text);
  }
  const focused = document.activeElement?.dataset?.handle;
  brackets.replaceChildren(...parts, ...handles());
  if (focused !== undefined) brackets.querySelector(`[data-handle="${focused}"]`)?.focus({ preventScroll: true });
}

function handles() {
  const row = sheet.rows[sheet.chosen];
  if (!row) return [];
  const bottom = height() - FOOT, reach = window.matchMedia("(pointer: coarse)").matches ? 22 : 9;
  return row.edges.flatMap((edge, place) => {
    const held = dragging?.kind === "edge" && dragging.edge === place;
    const time = held ? dragging.time : edge.time, x = xOf(time);
    if (x < LEFT - 1 || x > width() - RIGHT + 1) return [];
    const group = make("g", {
      class: "handle", tabindex: "0", role: "slider", "data-handle": place, "aria-label": `${row.kind}: ${edge.name}`,
      "aria-valuemin": sheet.whole.from, "aria-valuemax": sheet.whole.to, "aria-valuenow": tenth(time), "aria-valuetext": clock(time),
    });
    group.append(make("rect", { class: "reach", x: x - reach, y: TOP - 14, width: 2 * reach, height: bottom - TOP + 14 }));
    group.append(make("line", { x1: x, x2: x, y1: TOP - 4, y2: bottom }));
    group.append(make("rect", { x: x - 4, y: bottom - 22, width: 8, height: 20, rx: 1 }));
    if (held || row.edges.length > 2 || focusedHandle(place)) {
      const right = x > width() - 150;
      const up = bottom - 30 - (row.edges.length - 1 - place) * 17;
      group.append(make("text", { x: right ? x - 8 : x + 8, y: up, "text-anchor": right ? "end" : "start" }, held ? `${edge.name} ${clock(time)}` : edge.name));
    }
    return [group];
  });
}

const focusedHandle = (place) => document.activeElement?.dataset?.handle === String(place);

// The track ---------------------------------------------------------------------------------------------------------

function drawPlan() {
  const [pen, w, h] = ready(plan), ink = colours();
  const whole = sheet.whole.track, part = sheet.data.track;
  const zoomed = sheet.to - sheet.from < (sheet.whole.to - sheet.whole.from) * 0.9;
  const box = bounds(zoomed ? part : whole, zoomed ? sheet.from : -Infinity, zoomed ? sheet.to : Infinity);
  if (!box) return;
  const pad = 14, foot = 34;
  const metre = Math.min((w - 2 * pad) / Math.max(box.wide, 60), (h - foot - 2 * pad) / Math.max(box.tall, 60));
  const x = (east) => w / 2 + (east - box.east) * metre, y = (north) => (h - foot) / 2 - (north - box.north) * metre;
  const line = (way, from, to, colour, thick) => {
    pen.beginPath();
    let down = false;
    for (let k = 0; k < way.time.length; k++) {
      if (way.east[k] === null || way.time[k] < from || way.time[k] > to) { down = false; continue; }
      if (down) pen.lineTo(x(way.east[k]), y(way.north[k])); else { pen.moveTo(x(way.east[k]), y(way.north[k])); down = true; }
    }
    pen.strokeStyle = colour;
    pen.lineWidth = thick;
    pen.stroke();
  };
  pen.save();
  pen.beginPath(); pen.rect(0, 0, w, h - foot + 6); pen.clip();
  line(whole, -Infinity, Infinity, ink.rule, 1.2);
  line(part, sheet.from, sheet.to, ink.ink, 1.2);
  for (const row of sheet.rows) line(part, held(row, "start"), held(row, "end"), row.at === sheet.chosen ? ink.rust : ink.lake, row.at === sheet.chosen ? 3 : 2);
  for (const [time, colour] of [[sheet.pinned, ink.rust], [sheet.cursor, ink.ink]]) {
    const place = time === null ? null : where(part, time);
    if (!place) continue;
    pen.fillStyle = colour;
    pen.beginPath(); pen.arc(x(place[0]), y(place[1]), 4, 0, 7); pen.fill();
  }
  pen.restore();
  scaleBar(pen, ink, metre, w, h);
}

function bounds(way, from, to) {
  let west = Infinity, east = -Infinity, south = Infinity, north = -Infinity;
  for (let k = 0; k < way.time.length; k++) {
    if (way.east[k] === null || way.time[k] < from || way.time[k] > to) continue;
    west = Math.min(west, way.east[k]); east = Math.max(east, way.east[k]);
    south = Math.min(south, way.north[k]); north = Math.max(north, way.north[k]);
  }
  return west <= east ? { east: (west + east) / 2, north: (south + north) / 2, wide: east - west, tall: north - south } : null;
}

function where(way, time) {
  const index = after(way.time, time);
  if (index <= 0 || index >= way.time.length || way.east[index] === null || way.east[index - 1] === null) return null;
  const share = (time - way.time[index - 1]) / Math.max(way.time[index] - way.time[index - 1], 1e-9);
  return ["east", "north"].map((axis) => way[axis][index - 1] + (way[axis][index] - way[axis][index - 1]) * share);
}

function scaleBar(pen, ink, metre, w, h) {
  const most = w * 0.4 / metre, power = 10 ** Math.floor(Math.log10(most));
  const length = [5, 2, 1].map((k) => k * power).find((one) => one <= most), long = length * metre;
  const y = h - 14, x = 6;
  pen.strokeStyle = ink.ink;
  pen.lineWidth = 1.25;
  pen.beginPath();
  for (const share of [0, 0.5, 1]) { pen.moveTo(x + long * share, y - 5); pen.lineTo(x + long * share, y); }
  pen.moveTo(x, y); pen.lineTo(x + long, y);
  const n = w - 14;
  pen.moveTo(n, h - 4); pen.lineTo(n, h - 34); pen.lineTo(n - 4, h - 25);
  pen.stroke();
  pen.fillStyle = ink.ink;
  pen.textAlign = "left";
  pen.textBaseline = "middle";
  const nm = length / 1852;
  pen.fillText(`${length >= 1000 ? `${length / 1000} km` : `${length} m`}${nm >= 0.1 ? `  (${number(nm, nm < 1 ? 0.01 : 0.1)} nm)` : ""}`, x + long + 8, y - 3);
  pen.textAlign = "right";
  pen.fillText("N", n - 8, h - 26);
}

// Choosing and moving -----------------------------------------------------------------------------------------------

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
    dragging = { kind: "edge", row: row.at, edge: place, time: row.edges[place].time, by: x - xOf(row.edges[place].time), moved: false };
    handle.focus({ preventScroll: true });
    event.preventDefault();
  } else if (pressed("span")) {
    sheet.span = [timeAt(x), timeAt(x)];
    dragging = { kind: "span" };
  } else dragging = { kind: "pan", x, from: sheet.from, to: sheet.to, moved: false, bracket: bracket?.dataset.row };
  paper.setPointerCapture(event.pointerId);
});

let pinch = null;
function pinchFrom() {
  const [a, b] = [...fingers.values()];
  pinch = { about: timeAt((a + b) / 2), apart: Math.abs(a - b), span: sheet.to - sheet.from };
  dragging = null;
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
  if (dragging?.kind === "edge") {
    const row = sheet.rows[dragging.row];
    dragging.time = bound(row, dragging.edge, timeAt(x - dragging.by));
    dragging.moved = dragging.moved || dragging.time !== tenth(row.edges[dragging.edge].time);
    const field = $(`edge-${dragging.edge}`);
    if (field) field.value = clock(dragging.time);
  } else if (dragging?.kind === "span") {
    sheet.span[1] = Math.min(Math.max(timeAt(x), sheet.whole.from), sheet.whole.to);
    spanFields();
  } else if (dragging?.kind === "pan" && (dragging.moved || Math.abs(x - dragging.x) > 4)) {
    dragging.moved = true;
    paper.classList.add("moving");
    const by = ((x - dragging.x) / inner()) * (dragging.to - dragging.from);
    view(dragging.from - by, dragging.to - by);
    return;
  }
  draw();
});

function lift(event) {
  fingers.delete(event.pointerId);
  pinch = null;
  const was = dragging;
  dragging = null;
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

// The tools ---------------------------------------------------------------------------------------------------------

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

// Beginning, and again after each edit ------------------------------------------------------------------------------

function takeUp() {
  const data = $("flight-data");
  if (!data || data.dataset.taken) return;
  data.dataset.taken = "yes";
  const found = JSON.parse(data.textContent);
  sheet.rows = found.rows;
  sheet.span = null;
  sheet.chosen = found.chosen;
  delete survey.dataset.waiting;
  if (found.chosen !== null) choose(found.chosen, { fetch: false });
  if (sheet.whole) draw(); else loadWhole();
}

if (survey) {
  document.addEventListener("htmx:after:swap", takeUp);
  new ResizeObserver(() => { draw(); refine(); }).observe(paper);
  window.matchMedia("(prefers-color-scheme: dark)").addEventListener("change", draw);
  document.fonts?.ready.then(draw);
  takeUp();
}
