// What is left of a timer, large; it counts on the phone's clock to the moment that the case knows.

import { button, el } from "../dom.js";

const SPOKEN = 60;
/** Seconds between two tellings to whoever listens to the screen. */

/** Returns seconds as minutes and seconds: 2:05. */
export function clock(seconds) {
  const whole = Math.ceil(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}

/** Returns the timer of the turn shown. */
export function timer({ say, alarm }) {
  const shown = el("strong", { class: "left", role: "timer" });
  const told = el("p", { class: "told" });
  const spoken = el("p", { class: "unseen", role: "status" });
  const hush = button(say("timer.hush"), () => { alarm.hush(); draw(); }, { class: "go", "data-any-time": true, hidden: true });
  const promise = el("p", { class: "aside" });
  const box = el("div", { class: "timer" }, told, shown, spoken, hush, promise);
  let minute = -1;

  const draw = () => {
    const left = alarm.left();
    told.textContent = left ? say("timer.left") : say("timer.up");
    shown.textContent = clock(left || Math.max(0, Date.now() / 1000 - alarm.until));
    box.toggleAttribute("data-up", !left);
    hush.hidden = !alarm.ringing;
    if (left) promise.textContent = promised(say, alarm);
    else promise.textContent = say("timer.since");
    if (left && Math.ceil(left / SPOKEN) !== minute) {
      minute = Math.ceil(left / SPOKEN);
      spoken.textContent = say("timer.spoken", { minutes: minute });
    }
    if (!left && minute) {
      minute = 0;
      spoken.textContent = say("timer.up");
    }
  };
  draw();
  const each = setInterval(() => (box.isConnected ? draw() : clearInterval(each)), 250);
  return box;
}

/** Says what may be counted on, and what not. */
function promised(say, alarm) {
  const sound = say(alarm.sounds ? "timer.sounds" : "timer.no-sound");
  const awake = say(alarm.awake ? "timer.awake" : "timer.not-awake");
  return `${sound} ${awake} ${say("timer.locked")}`;
}
