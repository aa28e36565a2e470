"use strict";
// Counts down from what was left when the page was loaded. Without it the page tells that time.

function count(timer) {
  const end = Date.now() + 1000 * Number(timer.dataset.left);
  const shown = timer.querySelector(".left");
  const told = timer.querySelector("[role=status]");
  timer.querySelector(".told").textContent = timer.dataset.counting;
  timer.querySelector(".again").hidden = true;

  const tick = () => {
    const left = Math.max(0, Math.ceil((end - Date.now()) / 1000));
    shown.textContent = `${Math.floor(left / 60)}:${String(left % 60).padStart(2, "0")}`;
    if (left === 0) {
      told.textContent = timer.dataset.up;
    }
    if (left === 0 || !timer.isConnected) {
      clearInterval(each);
    }
  };
  const each = setInterval(tick, 250);
  tick();
}

function begin() {
  document.querySelectorAll("[data-left]").forEach(count);
}

begin();
document.addEventListener("replaced", begin);
