// Rings when a timer is up, as far as the browser lets it.
//
// The sound is laid out ahead on the clock of the sound itself, which goes on where browsers slow
// scripts down. Beside it come vibration, a notification where allowed, and a screen kept awake.

const RINGS = 30;
const APART = 2;
/** How often it rings, and seconds from one to the next. */

const TONES = [[880, 0], [1175, 0.3], [880, 0.6]];
/** Hertz, and seconds from the beginning of a ring. */

const LONG = 0.25;
const SHAKE = [600, 200, 600, 200, 1200];
/** Seconds of a tone; milliseconds of shaking and of rest. */

/**
 * @param {object} told what the notification says: {title, body}
 * @param {() => void} changed called when what is promised has changed
 */
export function alarm(told, changed) {
  let until = 0;
  let log = "";
  let quiet = true;
  let sound = null;
  let laid = [];
  let awake = null;
  let later = 0;

  const left = () => Math.max(0, until - Date.now() / 1000);

  const silence = () => {
    for (const tone of laid) tone.stop();
    laid = [];
    clearTimeout(later);
    navigator.vibrate?.(0);
  };

  const lay = () => {
    for (const tone of laid) tone.stop();
    laid = sound?.state === "running" && !quiet ? rings(sound, left()) : [];
  };

  const ring = () => {
    navigator.vibrate?.(SHAKE);
    notify(told);
    changed();
  };

  const watch = () => {
    clearTimeout(later);
    if (quiet || !until) return;
    const rest = left();
    if (rest === 0) ring();
    else later = setTimeout(watch, Math.min(rest, 1) * 1000);
  };

  const hold = async () => {
    if (!until || left() === 0 || document.hidden || awake) return;
    try {
      const held = await navigator.wakeLock.request("screen");
      held.addEventListener("release", () => { awake = null; changed(); });
      awake = held;
    } catch {
      awake = null; // not there, or the battery is low
    }
    if (!until) release();
    changed();
  };

  const release = () => {
    awake?.release();
    awake = null;
  };

  /** Sets the alarm to a time in seconds since 1970, for a case; the same again changes nothing. */
  const set = (time, of) => {
    if (time === until && of === log) return;
    silence();
    [until, log, quiet] = [time, of, !time];
    if (!time) release();
    lay();
    watch();
    hold();
  };

  /** Called at each tap: only then may a page begin to sound. */
  const unlock = async () => {
    const Sound = window.AudioContext ?? window.webkitAudioContext;
    if (!Sound) return;
    sound ??= new Sound();
    if (sound.state === "running") return;
    await sound.resume().catch(() => {});
    lay();
    changed();
  };

  /** Ends the ringing; the timer goes on telling that it is up. */
  const hush = () => {
    quiet = true;
    silence();
    release();
    changed();
  };

  document.addEventListener("visibilitychange", () => {
    if (document.hidden) return;
    hold();
    watch();
  });

  return {
    set,
    unlock,
    hush,
    left,
    get log() { return log; },
    get until() { return until; },
    get ringing() { return until > 0 && !quiet && left() === 0; },
    get sounds() { return sound?.state === "running"; },
    get awake() { return awake !== null; },
    get mayNotify() { return window.Notification?.permission ?? "denied"; },
    askToNotify: async () => { await window.Notification?.requestPermission(); changed(); },
  };
}

function rings(sound, delay) {
  const begin = sound.currentTime + delay;
  const laid = [];
  for (let ring = 0; ring < RINGS; ring += 1) {
    for (const [hertz, after] of TONES) {
      laid.push(tone(sound, hertz, begin + ring * APART + after));
    }
  }
  return laid;
}

function tone(sound, hertz, at) {
  const source = new OscillatorNode(sound, { type: "square", frequency: hertz });
  const loud = new GainNode(sound, { gain: 0.6 });
  source.connect(loud).connect(sound.destination);
  source.start(at);
  source.stop(at + LONG);
  return source;
}

async function notify({ title, body }) {
  if (window.Notification?.permission !== "granted" || !document.hidden) return;
  const worker = await navigator.serviceWorker?.getRegistration();
  const given = { body, tag: "timer", renotify: true, requireInteraction: true };
  try {
    if (worker) await worker.showNotification(title, given);
    else new Notification(title, given);
  } catch {
    // the phone does not take it; sound and screen tell
  }
}
