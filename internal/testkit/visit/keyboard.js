// Watches the tab key go through the page: notes where the focus stands before each press. Gives how many presses reach everything;
// tabbed() then lists what is wrong.
(() => {
  const seen = [], faults = [];
  const says = e => e.outerHTML.replace(/\s+/g, " ").slice(0, 140);
  const usable = e => !e.disabled && e.tabIndex >= 0 && e.checkVisibility({visibilityProperty: true});
  const wanted = [...document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex]")]
    .filter(e => usable(e) && (e.type !== "radio" || e.checked || !document.querySelector(`input[type=radio][name="${CSS.escape(e.name)}"]:checked`)));
  for (const e of document.querySelectorAll("[tabindex]")) {
    if (e.tabIndex > 0 || e.tabIndex < 0 && e.matches("a, button, input, select, textarea")) faults.push("takes itself out of the order: " + says(e));
  }

  // hidden says whether nothing of an element is seen: it is off the screen, or something lies over all of it.
  const hidden = e => {
    const r = e.getBoundingClientRect();
    if (r.bottom <= 0 || r.right <= 0 || r.top >= innerHeight || r.left >= innerWidth) return true;
    if (Math.min(r.width, r.height) < 4) return false; // a narrow bar of a drawing
    for (const x of [.5, .1, .9]) for (const y of [.5, .15, .85]) {
      const top = document.elementFromPoint(r.left + r.width * x, r.top + r.height * y);
      if (top && (e.contains(top) || top.closest("label")?.control === e)) return false;
    }
    return true;
  };
  // back says whether the focus went against the way one reads: up in the same column, or to the left in the same line.
  const back = (a, b) => {
    const line = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > Math.min(a.height, b.height) / 2;
    if (line) return b.right <= a.left;
    return b.bottom <= a.top && b.left < a.right && b.right > a.left;
  };

  // apart says whether an element lies over the page, as what was just said does: its place is none in the page's order.
  const apart = e => e && (getComputedStyle(e).position === "fixed" || apart(e.parentElement));
  const ordered = e => !e.matches(".skip") && !e.closest("svg, .wide") && !apart(e);
  const place = e => { const r = e.getBoundingClientRect(); return new DOMRect(r.x + scrollX, r.y + scrollY, r.width, r.height); };
  const look = () => {
    const e = document.activeElement, last = seen.at(-1);
    if (!e || e === document.body) return;
    if (last && last.e === e) {
      last.times++;
      if (last.times > (["date", "time", "datetime-local", "month"].includes(e.type) ? 6 : 1)) faults.push("does not leave: " + says(e));
      return;
    }
    if (seen.some(s => s.e === e)) return; // round again
    const style = getComputedStyle(e), now = {e, times: 1, at: place(e)};
    if (style.outlineStyle === "none" || parseFloat(style.outlineWidth) < 2) faults.push("no outline: " + says(e));
    if (hidden(e)) faults.push("what has the focus is not seen: " + says(e));
    if (last && ordered(last.e) && ordered(e) && back(last.at, now.at)) faults.push("goes back from " + says(last.e) + " to " + says(e));
    seen.push(now);
  };
  addEventListener("keydown", e => { if (e.key === "Tab") look(); }, true);
  window.tabbed = () => {
    look();
    if (seen[0] && !seen[0].e.matches(".skip")) faults.push("the first is not the link past the bar but " + says(seen[0].e));
    const reached = new Set(seen.map(s => s.e)), end = wanted.indexOf(seen.at(-1)?.e);
    const missed = wanted.filter((e, i) => i < end && !reached.has(e) && e.isConnected && usable(e));
    if (seen.length < 2) faults.push("reaches nothing");
    if (missed.length) faults.push("does not reach " + missed.slice(0, 3).map(says).join("; "));
    return [...new Set(faults)].slice(0, 5);
  };
  scrollTo(0, 0); // begin at the head of the page, wherever somebody clicked
  document.body.tabIndex = -1;
  document.body.focus();
  document.body.removeAttribute("tabindex");
  return wanted.length + 4 * wanted.filter(e => e.type === "date").length + 3;
})()
