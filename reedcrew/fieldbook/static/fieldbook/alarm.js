/* The headcount's clock: counts down while anybody is in water, and calls until somebody has confirmed the count. It
   follows from the entries alone, so that it goes on after the page was closed. */

let sound = null;
let pulse = null;
let lock = null;

/** When people in water must be counted, as a moment, or null while nobody is in water. */
export function dueAt(water, minutes) {
  if (water.members.length === 0) {
    return null;
  }
  const from = Math.max(Date.parse(water.since), water.checked_at ? Date.parse(water.checked_at) : 0);
  return from + minutes * 60_000;
}

/** Browsers let a page sound only after it was touched once. */
export function allowSound() {
  const Context = window.AudioContext;
  if (Context) {
    sound ??= new Context();
    sound.resume();
  }
}

export function mayScream() {
  return sound?.state === "running";
}

function beep() {
  if (mayScream()) {
    for (const [start, pitch] of [[0, 880], [0.25, 1320], [0.5, 880]]) {
      const tone = new OscillatorNode(sound, { type: "square", frequency: pitch });
      const level = new GainNode(sound, { gain: 0.6 });
      tone.connect(level).connect(sound.destination);
      tone.start(sound.currentTime + start);
      tone.stop(sound.currentTime + start + 0.2);
    }
  }
  shake([400, 150, 400, 150, 400]);
}

/** Browsers shake the phone only after the page was touched once, too. */
function shake(pattern) {
  if (navigator.userActivation?.hasBeenActive) {
    navigator.vibrate?.(pattern);
  }
}

/** Sound and shake until told otherwise. */
export function ring(on) {
  if (on && pulse === null) {
    beep();
    pulse = setInterval(beep, 1500);
  } else if (!on && pulse !== null) {
    clearInterval(pulse);
    pulse = null;
    shake(0);
  }
}

/** Keep the screen on while somebody is in water, where the browser can. */
export async function stayAwake(on) {
  if (on && lock === null && navigator.wakeLock && document.visibilityState === "visible") {
    try {
      lock = await navigator.wakeLock.request("screen");
      lock.addEventListener("release", () => (lock = null));
    } catch {
      lock = null; // a phone that saves its battery may refuse
    }
  } else if (!on && lock !== null) {
    await lock.release();
  }
}
