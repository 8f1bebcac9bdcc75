// Draws every figure from the data that stands beside it, in the palette of the light; nothing is fetched.
const options = {
  ast: true,
  actions: false,
  renderer: "svg",
  defaultStyle: false,
  tooltip: false, // the drawing itself names its dots
  loader: { load: () => Promise.reject(new Error("figures fetch nothing")) },
};
const dark = window.matchMedia("(prefers-color-scheme: dark)");
const colours = JSON.parse(document.getElementById("light-to-dark").textContent);
const any = new RegExp(Object.keys(colours).join("|"), "g");

async function draw(place, inDark) {
  const text = place.querySelector("script").textContent;
  const sheet = document.createElement("div");
  await window.vegaEmbed(sheet, JSON.parse(inDark ? text.replace(any, (one) => colours[one]) : text), options);
  sheet.querySelector("svg")?.setAttribute("aria-hidden", "true"); // the words stand on the place itself
  place.querySelector(":scope > div")?.remove();
  place.append(sheet);
}

// What comes into view is drawn first; the rest when there is time, so that it is there for print.
const places = [...document.querySelectorAll("[data-figure]")];
const drawn = new Set();
function once(place) {
  if (drawn.has(place)) return;
  drawn.add(place);
  draw(place, dark.matches && !window.matchMedia("print").matches);
}
const seen = new IntersectionObserver((found) => found.filter((one) => one.isIntersecting).forEach((one) => once(one.target)), { rootMargin: "400px" });
places.forEach((place) => seen.observe(place));
function rest() {
  const next = places.find((place) => !drawn.has(place));
  if (!next) return;
  once(next);
  setTimeout(rest, 30);
}
(window.requestIdleCallback ?? ((task) => setTimeout(task, 500)))(rest);
dark.addEventListener("change", () => [...drawn].forEach((place) => draw(place, dark.matches)));
window.addEventListener("beforeprint", () => places.forEach((place) => { drawn.add(place); draw(place, false); }));
