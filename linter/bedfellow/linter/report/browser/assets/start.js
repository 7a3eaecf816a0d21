// All is ready: draw it for the first time; for paper open what is folded.

moveTo(state.season, state.month);
lightUp();
let folded = [];
window.addEventListener("beforeprint", () => {
  folded = [...document.querySelectorAll("main details:not([open])")];
  for (const details of folded) details.open = true;
});
window.addEventListener("afterprint", () => {
  for (const details of folded) details.open = false;
});
