// Draws every chart of the page from the data that stands beside it. Nothing is fetched and nothing evaluated as code.
const options = {
  ast: true, // expressions are interpreted, so that the page needs no eval
  actions: false,
  renderer: "svg",
  defaultStyle: false,
  tooltip: false,
  loader: { load: () => Promise.reject(new Error("charts fetch nothing")) },
};

function shown(place) {
  return place.getClientRects().length > 0;
}

async function draw(place) {
  const data = place.querySelector("script[type='application/json']");
  if (!data || place.dataset.drawn) return;
  place.dataset.drawn = "yes";
  const spec = JSON.parse(data.textContent);
  const sheet = document.createElement("div");
  place.append(sheet);
  const drawn = await window.vegaEmbed(sheet, spec, options);
  const picture = sheet.querySelector("svg");
  picture?.setAttribute("aria-hidden", "true"); // the words stand on the place itself
  place.dispatchEvent(new CustomEvent("chart-drawn", { bubbles: true, detail: drawn }));
}

// The palette that is seen first; the other when there is time, so that print and a change of light find it ready.
function drawAll(part) {
  const places = [...part.querySelectorAll("[data-chart]")];
  const later = window.requestIdleCallback ?? ((task) => setTimeout(task, 200));
  places.filter(shown).forEach(draw);
  later(() => places.forEach(draw));
}

drawAll(document);
document.addEventListener("htmx:after:swap", () => drawAll(document));
