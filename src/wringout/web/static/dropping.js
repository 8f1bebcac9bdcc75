// Files dropped on the page go through its own form; a column's units follow what it is said to be.
const drop = document.getElementById("drop");
const files = document.getElementById("files");

if (drop) {
  const over = (on) => (event) => { event.preventDefault(); drop.classList.toggle("over", on); };
  for (const name of ["dragenter", "dragover"]) drop.addEventListener(name, over(true));
  drop.addEventListener("dragleave", over(false));
  drop.addEventListener("drop", (event) => {
    over(false)(event);
    if (!event.dataTransfer.files.length) return;
    files.files = event.dataTransfer.files;
    drop.requestSubmit();
  });
  // A file let go beside the form must not replace the page.
  for (const name of ["dragover", "drop"]) window.addEventListener(name, (event) => event.preventDefault());
  files.addEventListener("change", () => { if (files.files.length) drop.requestSubmit(); });
  const says = document.getElementById("drop-says");
  drop.addEventListener("htmx:before:request", () => { says.textContent = "Copying and looking at it …"; });
  drop.addEventListener("htmx:after:request", () => { says.textContent = ""; files.value = ""; });
}

document.addEventListener("change", (event) => {
  if (!event.target.name?.startsWith("channel-")) return;
  const unit = event.target.closest("tr").querySelector("input");
  unit.setAttribute("list", `units-${event.target.value}`);
  const symbols = [...(document.getElementById(`units-${event.target.value}`)?.options ?? [])].map((option) => option.value);
  if (!symbols.includes(unit.value)) unit.value = "";
});

const chosen = document.getElementById("card-chosen"), fresh = document.getElementById("new-card");
if (chosen) {
  const follow = () => { fresh.hidden = chosen.value !== ""; };
  chosen.addEventListener("change", follow);
  follow();
}
