// The model page: sliders and figures that follow each other, and only the controls that bear on what is asked.
// Nothing is reckoned here; every figure comes from the server.
const form = document.getElementById("ask");
const shown = (part, yes) => { part.hidden = !yes; };

// Before htmx hears of it, so that what is sent is what is seen.
document.addEventListener("input", (event) => {
  const slider = event.target.closest?.("input[data-of]");
  if (slider) form.elements.namedItem(slider.dataset.of).value = slider.value;
  if (event.target.id === "figure") bear(event.target.selectedOptions[0]);
}, true);

// What does not bear on a figure is neither seen nor sent.
function bear(option) {
  const bears = option.dataset.bears.split(" ");
  for (const part of form.querySelectorAll("[data-field]")) {
    const yes = bears.includes(part.dataset.field);
    shown(part, yes);
    part.querySelector("input.figure").disabled = !yes;
  }
  const along = form.elements.namedItem("along");
  for (const choice of along.options) {
    choice.hidden = choice.disabled = !bears.includes(choice.value);
  }
  along.value = bears[0];
  const strip = option.dataset.strip;
  shown(form.querySelector("[data-only-strip]"), strip !== undefined);
  const technique = form.elements.namedItem("technique");
  const kept = technique.value;
  technique.replaceChildren(...(strip ?? "").split("|").filter(Boolean).map((name) => new Option(name, name)));
  if ([...technique.options].some((choice) => choice.value === kept)) technique.value = kept;
}

// After an answer: sliders stand where the figures say, unless a hand is on them.
function follow() {
  for (const said of form.querySelectorAll("[data-slider]")) {
    const field = said.dataset.slider;
    const slider = form.querySelector(`input[data-of="${field}"]`);
    const typed = form.elements.namedItem(field);
    if (said.dataset.standard) typed.placeholder = said.dataset.standard.replace("standard: ", "std ").replace(/ \S+$/, "");
    if (slider === document.activeElement) continue;
    slider.min = said.dataset.low;
    slider.max = said.dataset.high;
    slider.value = said.dataset.at;
  }
}

document.addEventListener("htmx:after:swap", () => form && follow());
if (form) follow();
