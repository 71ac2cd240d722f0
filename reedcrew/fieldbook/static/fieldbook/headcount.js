/* The countdown to the next headcount, and the alarm when it is due. */

import { all, find, onPress, onSend, show, write } from "./dom.js";
import { allowSound, dueAt, mayScream, ring, stayAwake } from "./alarm.js";
import { now } from "./time.js";
import { minutesAndSeconds, say } from "./words.js";

const TICK_MS = 1000;

export class Headcount {
  constructor(fieldbook) {
    this.fieldbook = fieldbook;
    this.place = find("#alarm");
    this.asked = false; // somebody wants to count before it is due
    for (const kind of ["pointerdown", "keydown"]) {
      document.addEventListener(kind, allowSound);
    }
    onPress(this.place, { all_there: () => this.confirm(this.members().length) });
    onSend(find("#alarm-other"), ({ seen }) => this.confirm(Number(seen)));
    setInterval(() => this.draw(), TICK_MS);
  }

  members() {
    return this.fieldbook.day?.water.members ?? [];
  }

  /** Count now, though it is not due. */
  ask() {
    this.asked = true;
    this.draw();
    find(".fb-alarm-yes").focus();
  }

  async confirm(seen) {
    const expected = this.members().length;
    if (await this.fieldbook.add("head_check", { seen, expected })) {
      this.asked = seen !== expected; // a count that differs is open until another one agrees
      this.draw();
      if (seen !== expected) {
        this.fieldbook.refuse("count_differs", { seen, expected });
      }
    }
  }

  draw() {
    const members = this.members();
    const due = this.fieldbook.day ? dueAt(this.fieldbook.day.water, this.fieldbook.data.headcount_minutes) : null;
    const left = due === null ? null : (due - now()) / 1000;
    const late = left !== null && left <= 0;
    const names = members.map((person) => person.name).join(", ");
    const next = late ? say("count_now") : say("count_in", { time: minutesAndSeconds(left) });
    write(document, { counting: members.length || "", next: members.length ? next : "" });
    ring(late);
    stayAwake(members.length > 0);
    const shown = (late || this.asked) && members.length > 0;
    if (shown) {
      write(this.place, {
        alarm: say(late ? "alarm_late" : "alarm_asked", { count: members.length }),
        names,
        yes: say("all_there", { count: members.length }),
        missing: this.differing(members.length),
      });
      show(this.place, { mute: late && !mayScream() });
    }
    const appears = shown && this.place.hidden;
    this.place.hidden = !shown;
    if (appears) {
      this.place.focus(); // on the whole and on no button: a key that was meant for something else confirms nothing
    }
    this.place.classList.toggle("fb-alarm-late", late);
    document.body.classList.toggle("fb-late", late);
    for (const part of all("[data-screen] [data-show='somebody']")) {
      part.hidden = members.length === 0;
    }
  }

  differing(expected) {
    const last = this.fieldbook.day.water.last;
    const differs = last && last.seen !== last.expected && last.at > this.fieldbook.day.water.since;
    return differs ? say("count_differs", { seen: last.seen, expected }) : "";
  }
}
