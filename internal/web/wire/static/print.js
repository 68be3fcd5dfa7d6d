// Shows the buttons that print the page; without scripts the browser's own menu does it.
for (const button of document.querySelectorAll("button[data-print]")) {
  button.hidden = false;
  button.addEventListener("click", () => window.print());
}
