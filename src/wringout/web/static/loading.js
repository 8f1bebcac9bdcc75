// The loading page: sliders and figures that follow each other, squares and levels moved by hand or by keys.
// Nothing is reckoned here but where on the board a hand is; every figure comes from the server.
const form = document.getElementById("loading");

function field(name) {
  return form.elements.namedItem(name);
}

function moved() {
  form.dispatchEvent(new Event("moved"));
}

function put(name, text) {
  const input = field(name);
  if (!input || input.value === text) return false;
  input.value = text;
  return true;
}

// Before htmx hears of it, so that what is sent is what is seen.
document.addEventListener("input", (event) => {
  const slider = event.target.closest?.("input[data-of]");
  if (slider) put(slider.dataset.of, `${slider.value} ${slider.dataset.unit}`);
}, true);

// After an answer: sliders stand where the figures say, unless a hand is on them.
function follow() {
  form.querySelectorAll("[data-slider]").forEach((said) => {
    const slider = form.querySelector(`input[data-of="${CSS.escape(said.dataset.slider)}"]`);
    if (!slider || slider === document.activeElement) return;
    slider.max = said.dataset.most;
    slider.value = said.dataset.value;
  });
}

// --- rows -----------------------------------------------------------------------------------------------------
function renumber() {
  form.querySelectorAll("[data-row]").forEach((row, number) => {
    const parts = [row, ...row.querySelectorAll("*")];
    for (const part of parts) {
      for (const name of ["name", "id", "data-of", "aria-describedby"]) {
        const value = part.getAttribute(name);
        if (value) part.setAttribute(name, value.replace(/\bthing([.-])\d+/, `thing$1${number}`));
      }
    }
    row.dataset.row = number;
    row.querySelector(".number").textContent = number + 1;
  });
}

document.addEventListener("click", (event) => {
  const button = event.target.closest?.("[data-away]");
  if (!button) return;
  const row = button.closest("[data-row]");
  const next = row.nextElementSibling ?? row.previousElementSibling;
  row.remove();
  renumber();
  (next?.querySelector("input") ?? form.querySelector("button")).focus();
  moved();
});

document.addEventListener("change", (event) => {
  const go = event.target.dataset?.go;
  if (go) location.href = go + encodeURIComponent(event.target.value);
});

// --- the board -------------------------------------------------------------------------------------------------
function board() {
  return document.getElementById("stowage");
}

function onBoard(event) {
  const svg = board();
  return new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
}

function places() {
  return [...board().querySelectorAll(".place")];
}

function digits(unit) {
  return { mm: 0, cm: 1, m: 3, in: 1, ft: 2 }[unit] ?? 2;
}

// A thing at a place, its middle at an arm in the board's unit as far as the place reaches.
function lay(number, place, arm) {
  const unit = board().dataset.unit;
  let changed = put(`thing.${number}.station`, place.dataset.station);
  if (place.dataset.arm !== undefined) {
    const ends = [Number(place.dataset.arm), Number(place.dataset.aft)].sort((a, b) => a - b);
    const inside = Math.min(Math.max(arm, ends[0]), ends[1]);
    changed = put(`thing.${number}.arm`, `${inside.toFixed(digits(unit))} ${unit}`) || changed;
  }
  if (changed) moved();
}

function armAt(x) {
  const { left, extent, low, high } = board().dataset;
  return Number(low) + ((x - Number(left)) / Number(extent)) * (Number(high) - Number(low));
}

function fill(tank, level) {
  const { tank: name, full, unit } = tank.dataset;
  const amount = Math.min(Math.max(level, 0), Number(full));
  if (put(`fuel.${name}`, `${Number(amount.toFixed(1))} ${unit}`)) moved();
}

let held = null;

form?.addEventListener("pointerdown", (event) => {
  const part = event.target.closest?.(".thing, .level");
  if (!part || event.button) return;
  event.preventDefault();
  part.focus({ preventScroll: true });
  held = { id: part.id, thing: part.dataset.thing, tank: part.dataset.tank };
  if (held.thing === undefined) return;
  const ghost = document.createElement("div");
  ghost.className = "ghost";
  ghost.textContent = Number(held.thing) + 1;
  document.body.append(ghost);
  held.ghost = ghost;
  carry(event);
});

// A finger on a square moves the square and not the page; the style alone does not hold inside a drawing.
form?.addEventListener("touchstart", (event) => {
  if (event.target.closest?.(".thing, .level")) event.preventDefault();
}, { passive: false });

function carry(event) {
  held.ghost.style.left = `${event.clientX}px`;
  held.ghost.style.top = `${event.clientY}px`;
}

document.addEventListener("pointermove", (event) => {
  if (!held) return;
  const at = onBoard(event);
  if (held.tank !== undefined) {
    const tank = document.getElementById(held.id);
    const share = (at.x - Number(board().dataset.left)) / Number(tank.dataset.length);
    fill(tank, Math.round(share * Number(tank.dataset.full)));
    return;
  }
  carry(event);
  const place = places().find((each) => {
    const box = each.querySelector(".under").getBBox();
    return at.y >= box.y && at.y < box.y + box.height;
  });
  if (place) lay(held.thing, place, armAt(at.x));
});

for (const end of ["pointerup", "pointercancel"]) {
  document.addEventListener(end, () => {
    held?.ghost?.remove();
    held = null;
  });
}

const STEPS = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10 };

function keyOnThing(part, key) {
  const all = places();
  const number = part.dataset.thing;
  const here = all.findIndex((each) => each.dataset.station === field(`thing.${number}.station`).value);
  if (key === "ArrowUp" || key === "ArrowDown") {
    const next = all[here + (key === "ArrowDown" ? 1 : -1)];
    if (next) lay(number, next, middle(next));
    return true;
  }
  if (key === "ArrowLeft" || key === "ArrowRight") {
    const step = { mm: 10, cm: 1, m: 0.01, in: 0.5, ft: 0.05 }[board().dataset.unit] ?? 1;
    const now = parseFloat(field(`thing.${number}.arm`).value);
    lay(number, all[here], (Number.isFinite(now) ? now : middle(all[here])) + (key === "ArrowRight" ? step : -step));
    return true;
  }
  return false;
}

function middle(place) {
  return (Number(place.dataset.arm) + Number(place.dataset.aft)) / 2;
}

function keyOnLevel(part, key) {
  const full = Number(part.dataset.full);
  const now = Number(part.getAttribute("aria-valuenow"));
  const to = { Home: 0, End: full }[key] ?? (key in STEPS ? now + STEPS[key] : null);
  if (to === null) return false;
  part.setAttribute("aria-valuenow", Math.min(Math.max(to, 0), full)); // keys pressed before the answer count on
  fill(part, to);
  return true;
}

form?.addEventListener("keydown", (event) => {
  const part = event.target.closest?.(".thing, .level");
  if (!part) return;
  const took = part.matches(".thing") ? keyOnThing(part, event.key) : keyOnLevel(part, event.key);
  if (took) event.preventDefault();
});

// A square that changed its line is a new node to the browser: the focus goes with it.
let focused = null;
document.addEventListener("htmx:before:swap", () => {
  const part = document.activeElement?.closest?.(".thing, .level");
  focused = part ? part.id : null;
});
document.addEventListener("htmx:after:swap", () => {
  follow();
  if (focused && document.activeElement?.id !== focused) document.getElementById(focused)?.focus({ preventScroll: true });
  const fresh = form?.querySelector(".called[data-fresh]");
  fresh?.removeAttribute("data-fresh");
  fresh?.select();
});
