// The missions page: another mission is another page. Nothing is reckoned here.
document.addEventListener("change", (event) => {
  const go = event.target.dataset?.go;
  if (go) location.href = go + encodeURIComponent(event.target.value);
});
// The choice of a mission is no change of this one.
document.addEventListener("input", (event) => {
  if (event.target.dataset?.go) event.stopImmediatePropagation();
}, true);
