// A proposed value is selected when a person comes to its field, so that what is scanned or typed takes its place.
let fresh = null; // the field just come to: the click that led there would put the caret into the value
const proposed = e => e instanceof HTMLInputElement && "proposed" in e.dataset && e.value === e.defaultValue;
document.addEventListener("focusin", e => { if (proposed(e.target)) { e.target.select(); fresh = e.target; } });
document.addEventListener("click", e => { if (e.target === fresh) e.target.select(); fresh = null; });
document.addEventListener("input", () => { fresh = null; });
