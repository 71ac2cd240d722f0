/* The sentences, as the shell brings them in the reader's language, and times on the clock of the site. */

const sentences = JSON.parse(document.querySelector("#words").textContent);
const { lang } = document.documentElement;
const language = lang === "en" ? "en-GB" : lang; // days before months and 24 hours, as on every page
let zone = "UTC";

/** The sentence of a name with its values in place, such as %(name)s or {who}. */
export function say(name, values = {}) {
  const sentence = sentences[name] ?? name;
  return sentence
    .replace(/%\((\w+)\)[sd]|\{(\w+)\}/g, (_whole, value, other) => String(values[value ?? other] ?? ""))
    .replace(/%%/g, "%");
}

/** Tell times on the clock of this time zone from now on. */
export function useZone(name) {
  zone = name;
}

/** The time of day of a moment at the site. */
export function clock(moment) {
  return new Intl.DateTimeFormat(language, { hour: "2-digit", minute: "2-digit", hourCycle: "h23", timeZone: zone })
    .format(new Date(moment));
}

/** Day and time of a moment at the site. */
export function dayAndClock(moment) {
  const day = new Intl.DateTimeFormat(language, { day: "numeric", month: "short", timeZone: zone });
  return `${day.format(new Date(moment))}, ${clock(moment)}`;
}

/** The day of a moment in a time zone, in full. */
export function longDay(moment, timeZone) {
  return new Intl.DateTimeFormat(language, { dateStyle: "full", timeZone }).format(new Date(moment));
}

/** A whole number as people of this language write it. */
export function number(value) {
  return new Intl.NumberFormat(language).format(value);
}

/** Seconds as minutes and seconds, such as 19:05. */
export function minutesAndSeconds(seconds) {
  const whole = Math.max(0, Math.ceil(seconds));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}

/** How long something has lasted, in words. */
export function lasted(since, now) {
  const minutes = Math.max(0, Math.floor((now - new Date(since)) / 60000));
  return minutes < 60
    ? say("minutes", { minutes })
    : say("hours_minutes", { hours: Math.floor(minutes / 60), minutes: String(minutes % 60).padStart(2, "0") });
}

function minutesAhead(moment) {
  const parts = new Intl.DateTimeFormat("en-GB", {
    ...{ year: "numeric", month: "2-digit", day: "2-digit", hour: "2-digit", minute: "2-digit" },
    ...{ hourCycle: "h23", timeZone: zone },
  }).formatToParts(moment);
  const part = Object.fromEntries(parts.map(({ type, value }) => [type, Number(value)]));
  const wall = Date.UTC(part.year, part.month - 1, part.day, part.hour, part.minute);
  return Math.round((wall - Math.floor(moment / 60000) * 60000) / 60000);
}

/** The moment of a day such as 2026-08-15 and a clock time such as 09:30 at the site. */
export function momentOf(day, time) {
  const wall = Date.parse(`${day}T${time}:00Z`);
  const guess = wall - minutesAhead(new Date(wall)) * 60000;
  return new Date(wall - minutesAhead(new Date(guess)) * 60000).toISOString();
}
