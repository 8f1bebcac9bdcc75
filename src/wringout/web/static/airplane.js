// The form of the airplane or of a card: edits that wait for one another carry the version that the one before them left,
// and a field says what was kept of it.
document.addEventListener("htmx:before:request", (event) => {
  const { ctx } = event.detail;
  if (!/\/(airplane|notes)\//.test(ctx.request.action)) return;
  const version = document.querySelector('#description input[name="version"]');
  if (version && ctx.request.body instanceof URLSearchParams) ctx.request.body.set("version", version.value);
});

document.addEventListener("htmx:after:swap", () => {
  document.querySelectorAll("#description .says[data-kept]").forEach((said) => {
    const input = document.getElementById(said.id.replace(/^says-/, "f-"));
    if (input && input !== document.activeElement && input.tagName === "INPUT") input.value = said.dataset.kept;
    said.removeAttribute("data-kept");
  });
});
