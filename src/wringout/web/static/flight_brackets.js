// The manoeuvres as brackets above the traces, like notes in the margin, and the ends of the chosen one to take hold of.

import { $, FOOT, LEFT, RIGHT, TOP, clock, height, held, sheet, tenth, width, xOf } from "./flight_sheet.js";

const SVG = "http://www.w3.org/2000/svg";
const drawn = document.createElementNS(SVG, "g"), ends = document.createElementNS(SVG, "g");
$("brackets").append(drawn, ends);

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

export function drawBrackets() {
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
  drawn.replaceChildren(...parts);
  drawEnds();
}

// The grips stay the same elements while they move, so that focus and a screen reader stay with them.
function drawEnds() {
  const row = sheet.rows[sheet.chosen], edges = row?.edges ?? [];
  while (ends.children.length > edges.length) ends.lastChild.remove();
  while (ends.children.length < edges.length) ends.append(grip(ends.children.length));
  edges.forEach((edge, place) => putGrip(ends.children[place], row, edge, place));
}

function grip(place) {
  const group = make("g", { class: "handle", tabindex: "0", role: "slider", "data-handle": place });
  group.append(make("rect", { class: "reach" }), make("line"), make("rect", { width: 8, height: 20, rx: 1 }), make("text"));
  return group;
}

function put(node, attributes) {
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
}

function putGrip(group, row, edge, place) {
  const inHand = sheet.dragging?.kind === "edge" && sheet.dragging.edge === place;
  const time = inHand ? sheet.dragging.time : edge.time, x = xOf(time), bottom = height() - FOOT;
  group.style.display = x < LEFT - 1 || x > width() - RIGHT + 1 ? "none" : "";
  put(group, {
    "aria-label": `${row.kind}: ${edge.name}`, "aria-valuemin": sheet.whole.from, "aria-valuemax": sheet.whole.to,
    "aria-valuenow": tenth(time), "aria-valuetext": clock(time),
  });
  const [reach, line, handle, text] = group.children, wide = window.matchMedia("(pointer: coarse)").matches ? 22 : 9;
  put(reach, { x: x - wide, y: TOP - 14, width: 2 * wide, height: bottom - TOP + 14 });
  put(line, { x1: x, x2: x, y1: TOP - 4, y2: bottom });
  put(handle, { x: x - 4, y: bottom - 22 });
  const right = x > width() - 150, up = bottom - 30 - (row.edges.length - 1 - place) * 17;
  put(text, { x: right ? x - 8 : x + 8, y: up, "text-anchor": right ? "end" : "start" });
  const named = inHand || row.edges.length > 2 || document.activeElement === group;
  text.textContent = inHand ? `${edge.name} ${clock(time)}` : named ? edge.name : "";
}
