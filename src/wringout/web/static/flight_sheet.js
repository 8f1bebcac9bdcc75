// What the sheet of a flight knows: the span in view, the traces fetched for it, what is chosen and held.

import { draw } from "./flight_drawing.js";

export const $ = (id) => document.getElementById(id);
export const survey = $("survey"), paper = $("paper");
export const LEFT = 64, RIGHT = 16, TOP = 74, FOOT = 28, GAP = 26;

// `dragging` is what a pointer holds: an end of the chosen manoeuvre, a span being chosen, or the paper itself.
export const sheet = {
  data: null, whole: null, from: 0, to: 1, rows: [], chosen: null, cursor: null, pinned: null, span: null, start: 0, third: "", dragging: null, out: [], marks: [],
};

// Time and places
export const width = () => paper.clientWidth;
export const height = () => paper.clientHeight;
export const inner = () => Math.max(1, width() - LEFT - RIGHT);
export const xOf = (time) => LEFT + ((time - sheet.from) / (sheet.to - sheet.from)) * inner();
export const timeAt = (x) => sheet.from + ((x - LEFT) / inner()) * (sheet.to - sheet.from);
export const tenth = (time) => Math.round(time * 10) / 10;

export function clock(time, digits = 1) {
  const factor = 10 ** digits;
  const ticks = Math.round((sheet.start + time) * factor);
  const day = 86400 * factor;
  const within = ((ticks % day) + day) % day;
  const seconds = Math.floor(within / factor);
  const two = (number) => String(number).padStart(2, "0");
  const text = `${two(Math.floor(seconds / 3600))}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
  return digits ? `${text}.${String(within % factor).padStart(digits, "0")}` : text;
}

export function seconds(text) {
  const match = /^(\d\d):(\d\d):(\d\d(?:\.\d+)?)/.exec(text.trim());
  if (!match) return null;
  const day = 86400, of = Number(match[1]) * 3600 + Number(match[2]) * 60 + Number(match[3]);
  let time = of - (sheet.start % day);
  while (time < sheet.whole.from - day / 2) time += day;
  while (time > sheet.whole.to + day / 2) time -= day;
  return time;
}

// Data

let asked = 0;
export async function fetchSpan(from, to, names) {
  const query = new URLSearchParams();
  for (const name of names) query.append("names", name);
  if (from !== null) { query.set("start", from); query.set("end", to); }
  // Two samples for each pixel that is drawn on.
  query.set("most", String(Math.min(8000, Math.max(200, Math.round(inner() * 2)))));
  const answer = await fetch(`${survey.dataset.traces}?${query}`, { headers: { "HX-Request": "true" } });
  if (!answer.ok) throw new Error(`traces: ${answer.status}`);
  return answer.json();
}

export function names() {
  const usual = sheet.whole?.usual ?? ["height"];
  return sheet.third ? [usual[0], usual[1], sheet.third] : usual;
}

export async function loadWhole() {
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
  refine(true);
}

let waiting = null;
// More is fetched than is seen, so that moving a little shows no blank paper.
export function refine(soon = false) {
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

export function view(from, to) {
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

export const zoom = (factor, about = (sheet.from + sheet.to) / 2) =>
  view(about - (about - sheet.from) * factor, about + (sheet.to - about) * factor);
export const shift = (share) => view(sheet.from + share * (sheet.to - sheet.from), sheet.to + share * (sheet.to - sheet.from));

// Where an end of a manoeuvre is drawn: in the hand that holds it, or where it was found.
export function held(row, end) {
  if (sheet.dragging?.kind !== "edge" || sheet.dragging.row !== row.at) return row[end];
  const place = end === "start" ? 0 : row.edges.length - 1;
  return sheet.dragging.edge === place ? sheet.dragging.time : row[end];
}
