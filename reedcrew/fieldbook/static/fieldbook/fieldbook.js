/* One day on this phone: what is kept, what is drawn, and the one way by which anything is written down. */

import { all, find, write } from "./dom.js";
import { Headcount } from "./headcount.js";
import { present } from "./present.js";
import { SCREENS } from "./screens/index.js";
import { forgetOver, startPage } from "./start.js";
import { Status } from "./status.js";
import * as store from "./store.js";
import { Sender, addressOf, fetchDay } from "./sync.js";
import { newId, now, onPhone, putRight, useOffset } from "./time.js";
import { clock, dayAndClock, momentOf, say, useZone } from "./words.js";

const FIRST = "people";
const TELL_MS = 6000;
const ASK_AGAIN_MS = 60_000;

export class Fieldbook {
  constructor(key) {
    this.key = key;
    this.news = "BroadcastChannel" in window ? new BroadcastChannel("reedcrew-fieldbook") : null;
  }

  async open() {
    const phone = (await store.noteOf("phone")) ?? { id: newId(), name: "" };
    await store.keepNote("phone", phone);
    this.phone = phone;
    this.sender = new Sender(phone, () => this.draw());
    this.kept = await store.dayOf(this.key);
    if (!this.kept) {
      try {
        this.kept = await fetchDay(this.key);
      } catch (trouble) {
        const [slug] = this.key.split("/");
        const why = trouble.sentence || say(trouble.why === "signed_out" ? "sign_in_first" : "day_not_here");
        await startPage(slug, why);
        return;
      }
    } else {
      this.refetch();
    }
    await this.start();
  }

  async start() {
    useZone(this.data.site.time_zone);
    document.title = `${this.data.day.title} · Reedcrew`;
    write(document, { title: this.data.day.title, site: this.siteLine() });
    for (const link of all("a[data-page]")) {
      link.href = new URL(link.dataset.page, new URL(addressOf(this.key), location.href)).pathname;
    }
    find(".fb-nav").hidden = false;
    this.status = new Status(this);
    this.headcount = new Headcount(this);
    this.screens = new Map(
      [...SCREENS].map(([name, start]) => [name, start(this, find(`[data-screen="${name}"]`)) ?? (() => {})]),
    );
    window.addEventListener("hashchange", () => this.turn());
    this.news?.addEventListener("message", () => this.draw());
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && this.refetch());
    setInterval(() => this.refetch(), ASK_AGAIN_MS);
    await forgetOver();
    await this.draw();
    this.turn();
    this.sender.run();
  }

  get data() {
    return this.kept.data;
  }

  /** How many entries a person must look at, of every phone, and photos that the server did not take. */
  get unsettled() {
    return this.kept.state.to_look_at + this.photos.filter((photo) => photo.outcome === "refused").length;
  }

  siteLine() {
    const { day, site } = this.data;
    return say("site_line", { site: site.name, start: dayAndClock(day.starts_at), end: clock(day.ends_at) });
  }

  /** Ask the server how the day stands; without a network what is kept stands. */
  async refetch() {
    try {
      await fetchDay(this.key);
      this.reached = true;
      await this.draw();
    } catch (trouble) {
      this.reached = false;
      this.fetchTrouble = trouble;
      await this.draw();
    }
  }

  /** Read what is kept and draw it. Draws one after another: the last one shows the last state. */
  draw() {
    this.drawing = (this.drawing ?? Promise.resolve()).then(async () => {
      if (!this.screens) {
        return;
      }
      const kept = await store.dayOf(this.key);
      this.kept = kept ?? this.kept;
      this.entries = await store.entriesOf(this.key);
      this.photos = await store.photosOf(this.key);
      useOffset(this.kept.ahead);
      const right = this.entries.map((entry) => ({ ...entry, at: putRight(entry.at) }));
      this.day = present(this.data, this.kept.state, right);
      await this.status.draw();
      this.headcount.draw();
      for (const draw of this.screens.values()) {
        await draw();
      }
    });
    return this.drawing;
  }

  /** Show the screen that the address names. */
  turn() {
    const wanted = location.hash.slice(1);
    const name = this.screens.has(wanted) ? wanted : this.shown ?? FIRST;
    if (wanted === "main" && this.shown) {
      return;
    }
    for (const screen of all("[data-screen]")) {
      screen.hidden = screen.dataset.screen !== name;
    }
    const under = this.screens.has(name) && find(`.fb-nav a[href="#${name}"]`) ? name : "more";
    for (const link of all(".fb-nav a")) {
      link.toggleAttribute("aria-current", link.hash === `#${under}`);
      if (link.hash === `#${under}`) {
        link.setAttribute("aria-current", "page");
      }
    }
    if (this.shown && this.shown !== name) {
      window.scrollTo(0, 0);
      find("#main").focus({ preventScroll: true });
      this.quiet();
    }
    this.shown = name;
  }

  /** The moment of a time of day that somebody gave; without one, now. */
  momentOf(time) {
    return time ? momentOf(this.data.day.date, time) : now().toISOString();
  }

  /**
   * Write something down. Resolves true when it is on this phone for good, and tells so; a phone that could not keep it
   * tells that instead, and resolves false.
   */
  async add(kind, data, { at = now().toISOString(), draft = null, told = null } = {}) {
    const { account, name } = this.data.me;
    const author = { account, name };
    const entry = { id: newId(), day: this.key, kind, at: onPhone(at), data, author, outcome: store.WAITING };
    try {
      await store.keepEntry(entry, draft);
    } catch {
      this.refuse("not_kept");
      return false;
    }
    await this.changed();
    this.tell(told ?? say(`did_${kind}`));
    return true;
  }

  async changed() {
    this.news?.postMessage("changed");
    await this.draw();
    this.sender.soon();
  }

  /** Say what is done. */
  tell(sentence) {
    this.quiet();
    const place = find("#said");
    place.textContent = say("saved_here", { what: sentence });
    place.hidden = false;
    this.telling = setTimeout(() => this.quiet(), TELL_MS);
  }

  /** Say why something is not done, and what would be right. */
  refuse(name, values = {}) {
    this.quiet();
    const place = find("#refused");
    place.textContent = say(name, values);
    place.hidden = false;
    place.scrollIntoView({ block: "nearest" });
    return false;
  }

  /** Refuse when a rule does; answers whether it did. */
  refusedBy(rule) {
    if (rule) {
      this.refuse(rule.name, rule.values);
    }
    return Boolean(rule);
  }

  quiet() {
    clearTimeout(this.telling);
    for (const place of [find("#said"), find("#refused")]) {
      place.hidden = true;
      place.textContent = "";
    }
  }
}
