/* Brings what waits on this phone to the server: in batches, in any order, as often as it takes. An entry stops waiting
   when the server has said what became of it, and not before. */

import * as store from "./store.js";
import { phoneTime } from "./time.js";

const BATCH = 100;
const FIRST_WAIT_S = 5;
const LONGEST_WAIT_S = 300;
const ANSWER_S = 30;
const PHOTO_ANSWER_S = 180;

/** Why a try came to nothing: "offline", "signed_out", "other_account", "refused" or "busy". */
export class Trouble extends Error {
  constructor(why, sentence = "") {
    super(sentence || why);
    this.why = why;
    this.sentence = sentence;
  }
}

const tokens = new Map(); // the day's key → the token that its page gives for writing

async function ask(address, options, seconds = ANSWER_S) {
  let answered;
  try {
    answered = await fetch(address, {
      ...options,
      credentials: "same-origin",
      cache: "no-store",
      redirect: "manual",
      signal: AbortSignal.timeout(seconds * 1000),
    });
  } catch {
    throw new Trouble("offline");
  }
  if (answered.type === "opaqueredirect") {
    throw new Trouble("signed_out");
  }
  let said = null;
  try {
    said = await answered.json();
  } catch {
    said = null; // a page of something between us and the server
  }
  if (answered.ok && said !== null) {
    return [said, answered];
  }
  const error = said?.error ?? {};
  if (answered.status === 401) {
    throw new Trouble("signed_out", error.sentence);
  }
  throw Object.assign(new Trouble(said ? "refused" : "offline", error.sentence), { status: answered.status, code: error.code });
}

/** Where the pages of a day are, by its key such as "willow-bend/12". */
export function addressOf(key, page = "") {
  const [slug, pk] = key.split("/");
  return `/g/${slug}/days/${pk}/field/${page}`;
}

/** The day as the server has it now, kept on this phone. */
export async function fetchDay(key) {
  const asked = Date.now();
  const [data, answered] = await ask(addressOf(key, "day.json"), {});
  const ahead = Date.parse(data.server_at) - (asked + Date.now()) / 2; // ms; the answer was written half way
  tokens.set(key, answered.headers.get("X-CSRFToken") ?? "");
  const { state, ...rest } = data;
  return store.keepDay({ key, data: rest, state: { ...state, server_at: data.server_at }, ahead });
}

async function post(key, page, kept, body, headers, seconds) {
  if (!tokens.has(key)) {
    await fetchDay(key);
  }
  askAuthor(await store.dayOf(key), kept);
  const send = () =>
    ask(addressOf(key, page), { method: "POST", body, headers: { ...headers, "X-CSRFToken": tokens.get(key) } }, seconds);
  try {
    return (await send())[0];
  } catch (trouble) {
    if (trouble.status !== 403) {
      throw trouble;
    }
    askAuthor(await fetchDay(key), kept); // the token was of an earlier session, which may have been somebody else's
    return (await send())[0];
  }
}

/** Nobody's entries are sent in somebody else's name. */
function askAuthor(day, entries) {
  const other = entries.find((entry) => entry.author?.account !== day.data.me.account);
  if (other) {
    throw new Trouble("other_account", other.author?.name ?? "");
  }
}

async function sendEntries(key, phone) {
  let size = BATCH;
  for (;;) {
    const waits = (await store.waiting("entries")).filter((entry) => entry.day === key);
    if (waits.length === 0) {
      return;
    }
    const batch = waits.sort((a, b) => a.at.localeCompare(b.at)).slice(0, size);
    const entries = batch.map(({ id, kind, at, data }) => ({ id, kind, at, data }));
    const body = JSON.stringify({ phone: phone.id, phone_name: phone.name, sent_at: phoneTime().toISOString(), entries });
    try {
      const said = await post(key, "sync/", batch, body, { "Content-Type": "application/json" });
      const day = await store.dayOf(key);
      const state = { ...said.state, server_at: said.server_at };
      await store.keepAnswers({ ...day, state, ahead: said.offset_s * 1000 }, said.entries, phoneTime().toISOString());
      if (!said.entries.some((one) => entries.some((entry) => entry.id === one.id))) {
        throw new Trouble("refused"); // nothing was said of what we sent
      }
    } catch (trouble) {
      if (trouble.status !== 413 || size === 1) {
        throw trouble;
      }
      size = Math.ceil(size / 4);
    }
  }
}

async function sendPhotos(key, phone) {
  const waits = (await store.waiting("photos")).filter((photo) => photo.day === key);
  for (const photo of waits) {
    const form = new FormData();
    const { id, kind, zone, at } = photo;
    const said = { id, kind, zone, at, phone: phone.id, sent_at: phoneTime().toISOString() };
    for (const [name, value] of Object.entries(said)) {
      form.append(name, value ?? "");
    }
    form.append("photo", photo.blob, `${id}.jpg`);
    let outcome = { outcome: "taken", sentence: "" };
    try {
      const { outcome: what = "taken", sentence = "" } = await post(key, "photo/", [photo], form, {}, PHOTO_ANSWER_S);
      outcome = { outcome: what, sentence };
    } catch (trouble) {
      if (trouble.status !== 400 && trouble.status !== 413) {
        throw trouble;
      }
      outcome = { outcome: "refused", sentence: trouble.sentence };
    }
    const blob = outcome.outcome === "refused" ? photo.blob : null; // a refused one stays to be looked at
    await store.keepPhoto({ ...photo, ...outcome, blob, reached_at: phoneTime().toISOString() });
  }
}

/** Sends again and again, with growing waits; starts at once when there is news or the network is back. */
export class Sender {
  constructor(phone, changed) {
    this.phone = phone;
    this.changed = changed;
    this.trouble = null;
    this.running = false;
    this.wait = FIRST_WAIT_S;
    this.timer = null;
    window.addEventListener("online", () => this.soon());
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && this.soon());
  }

  /** Try now, whatever was waited for. */
  soon() {
    this.wait = FIRST_WAIT_S;
    return this.run();
  }

  async run() {
    if (this.running) {
      this.again = true;
      return;
    }
    this.running = true;
    this.again = false;
    clearTimeout(this.timer);
    this.changed();
    try {
      await alone(() => this.sendAll());
      this.trouble = null;
      this.wait = FIRST_WAIT_S;
    } catch (trouble) {
      this.trouble = trouble instanceof Trouble ? trouble : new Trouble("refused", String(trouble));
    }
    this.running = false;
    if (this.again) {
      this.again = false;
      this.run();
      return;
    }
    if (this.trouble && (await store.countWaiting()) > 0) {
      this.timer = setTimeout(() => this.run(), this.wait * 1000 * (0.75 + Math.random() / 2));
      this.wait = Math.min(this.wait * 2, LONGEST_WAIT_S);
    }
    this.changed();
  }

  async sendAll() {
    const keys = new Set([...(await store.waiting("entries")), ...(await store.waiting("photos"))].map((one) => one.day));
    let trouble = null;
    for (const key of keys) {
      try {
        await sendEntries(key, this.phone);
        await this.changed();
        await sendPhotos(key, this.phone);
      } catch (error) {
        trouble = error; // the other days of this phone are sent all the same
      }
    }
    if (trouble) {
      throw trouble;
    }
  }
}

/** One page of this phone sends at a time, however many stand open. */
function alone(work) {
  return navigator.locks ? navigator.locks.request("reedcrew-fieldbook-send", work) : work();
}
