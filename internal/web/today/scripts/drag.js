// Batches on the day's bars can be dragged to another place, to another machine, or off the day. A drop sends the same form as the
// buttons on the batch's page. A finger holds a batch before it drags, so that the page still scrolls.
"use strict";
(() => {
  const section = document.querySelector(".lanes[data-day]");
  if (!section) return;
  const lanes = [...section.querySelectorAll("svg.lane-bars")];
  const off = section.querySelector(".hold-here");
  const ask = section.querySelector(".drag-ask");
  section.querySelector(".drag-hint").hidden = false;
  const far = 6, hold = 350;
  let held = null;   // what the pointer went down on
  let moving = false;
  let timer = 0;
  let dropped = false; // the click that ends a drag opens no page

  const inside = (box, e) => e.clientX >= box.left - 20 && e.clientX <= box.right + 20 && e.clientY >= box.top - 8 && e.clientY <= box.bottom + 8;
  const laneAt = e => lanes.find(l => inside(l.getBoundingClientRect(), e));
  const middle = bar => { const b = bar.querySelector(".run").getBoundingClientRect(); return b.left + b.width / 2; };

  // placeIn counts the bars before the pointer, from 1.
  const placeIn = (lane, bar, x) => 1 + [...lane.querySelectorAll(".bar")].filter(b => b !== bar && middle(b) < x).length;

  const send = (form, values) => {
    for (const [name, value] of Object.entries(values)) form.elements[name].value = value;
    form.requestSubmit();
  };

  const begin = () => {
    moving = true;
    held.bar.classList.add("dragged");
    off.hidden = held.bar.dataset.stands === "yes";
  };

  const end = () => {
    clearTimeout(timer);
    if (held) {
      held.bar.classList.remove("dragged");
      held.bar.removeAttribute("transform");
    }
    for (const target of [...lanes, off]) target.classList.remove("over");
    off.hidden = true;
    moving = false;
    held = null;
  };

  const drop = e => {
    const {bar, lane} = held;
    const batch = bar.dataset.batch;
    if (!off.hidden && inside(off.getBoundingClientRect(), e)) {
      send(section.querySelector(".drag-hold"), {hold: batch});
      return;
    }
    const to = laneAt(e);
    if (!to) return;
    const place = placeIn(to, bar, e.clientX);
    const move = () => send(section.querySelector(".drag-move"), {move: batch, machine: to.dataset.machine, place});
    if (to === lane) {
      if (place !== 1 + [...lane.querySelectorAll(".bar")].indexOf(bar)) move();
      return;
    }
    const ordered = Number(bar.dataset.ordered);
    if (ordered < 2 || bar.dataset.stands === "yes") {
      move();
      return;
    }
    const split = ask.querySelector(".drag-split");
    split.elements.split.value = batch;
    split.elements.machine.value = to.dataset.machine;
    split.elements.strings.max = ordered - 1;
    split.elements.strings.value = Math.floor(ordered / 2);
    ask.querySelector("h3").textContent = `${batch} to ${to.dataset.machine}`;
    const all = ask.querySelector(".drag-all");
    all.textContent = `Move all ${ordered} strings`;
    all.onclick = () => { ask.close(); move(); };
    ask.querySelector(".drag-none").onclick = () => ask.close();
    ask.showModal();
  };

  for (const lane of lanes) {
    lane.addEventListener("dragstart", e => e.preventDefault()); // a link would drag its address
    lane.addEventListener("pointerdown", e => {
      const bar = e.target.closest(".bar");
      if (!bar || e.button !== 0 || bar.classList.contains("wound")) return;
      held = {bar, lane, x: e.clientX, y: e.clientY, touch: e.pointerType === "touch", id: e.pointerId};
      dropped = false;
      if (held.touch) timer = setTimeout(begin, hold);
    });
    lane.addEventListener("click", e => { if (dropped) { e.preventDefault(); dropped = false; } }, true);
    lane.addEventListener("contextmenu", e => { if (moving) e.preventDefault(); });
  }
  addEventListener("pointermove", e => {
    if (!held || e.pointerId !== held.id) return;
    const dx = e.clientX - held.x, dy = e.clientY - held.y;
    if (!moving && Math.hypot(dx, dy) > far) {
      if (held.touch) { end(); return; } // it scrolls
      begin();
    }
    if (!moving) return;
    held.bar.setAttribute("transform", `translate(${dx} ${dy})`);
    const to = laneAt(e);
    for (const lane of lanes) lane.classList.toggle("over", lane === to);
    off.classList.toggle("over", !off.hidden && inside(off.getBoundingClientRect(), e));
  });
  addEventListener("touchmove", e => { if (moving) e.preventDefault(); }, {passive: false});
  addEventListener("pointerup", e => {
    if (held && moving && e.pointerId === held.id) {
      dropped = true;
      drop(e);
    }
    end();
  });
  addEventListener("pointercancel", end);
  addEventListener("keydown", e => { if (e.key === "Escape") end(); });
})();
