// The traces and the track, drawn on blank paper in the colours of the page.

import { drawBrackets } from "./flight_brackets.js";
import { $, FOOT, GAP, LEFT, RIGHT, TOP, clock, held, inner, sheet, width, xOf } from "./flight_sheet.js";

const lines = $("lines"), plan = $("plan");
const SHARES = [5, 4, 2.4]; // heights of the three traces

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
  return [1, 2, 2.5, 5, 10].map((k) => k * power).find((step) => step >= rough);
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
export function draw() {
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
  marks(pen, ink, bottom);
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
  for (const [from, to] of sheet.out) hatch(pen, ink, from, to, bottom);
  if (sheet.span) band(Math.min(...sheet.span), Math.max(...sheet.span), ink.rust, 0.16);
}

// What does not count is struck through, as a surveyor strikes out a reading.
function hatch(pen, ink, from, to, bottom) {
  const a = Math.max(xOf(from), LEFT), b = Math.min(xOf(to), width() - RIGHT);
  if (b <= a) return;
  pen.save();
  pen.beginPath(); pen.rect(a, TOP, b - a, bottom - TOP); pen.clip();
  pen.strokeStyle = ink.rule;
  pen.lineWidth = 1;
  pen.beginPath();
  for (let x = a - (bottom - TOP); x < b; x += 9) { pen.moveTo(x, bottom); pen.lineTo(x + bottom - TOP, TOP); }
  pen.stroke();
  pen.strokeStyle = ink.muted;
  pen.strokeRect(a + 0.5, TOP - 0.5, b - a - 1, bottom - TOP + 1);
  pen.restore();
  pen.fillStyle = ink.muted;
  pen.textAlign = "center";
  if (b - a > 50) pen.fillText("left out", (a + b) / 2, bottom - 12);
}

// The card's marks stand on the time axis.
function marks(pen, ink, bottom) {
  pen.fillStyle = pen.strokeStyle = ink.ink;
  for (const { time } of sheet.marks) {
    const x = xOf(time);
    if (x < LEFT || x > width() - RIGHT) continue;
    pen.beginPath(); pen.moveTo(x, bottom - 9); pen.lineTo(x - 5, bottom); pen.lineTo(x + 5, bottom); pen.fill();
  }
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

// The track

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
