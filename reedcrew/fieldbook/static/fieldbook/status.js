/* The line that always says what is saved on this phone and what has reached the server. */

import { find, write } from "./dom.js";
import * as store from "./store.js";
import { now, putRight } from "./time.js";
import { clock, number, say } from "./words.js";

const TROUBLES = {
  offline: "offline",
  signed_out: "signed_out",
  other_account: "other_account",
  refused: "not_taken",
};

export class Status {
  constructor(fieldbook) {
    this.fieldbook = fieldbook;
  }

  async draw() {
    const { entries, photos, sender } = this.fieldbook;
    const all = [...entries, ...photos];
    const waits = all.filter((one) => one.outcome === store.WAITING).length;
    const reached = all.filter((one) => one.outcome !== store.WAITING);
    const last = reached.map((one) => one.reached_at).sort().at(-1);
    const values = { waits: number(waits), reached: number(reached.length), time: last ? clock(putRight(last)) : "" };
    let sentence = "nothing_here";
    if (waits > 0) {
      sentence = last ? "some_wait" : "all_wait";
    } else if (last) {
      sentence = "all_sent";
    }
    const line = find("#sent");
    const said = say(sentence, values);
    if (line.textContent !== said) {
      line.textContent = said;
    }
    line.dataset.waits = waits;
    this.drawTrouble(waits, sender);
    const unsettled = this.fieldbook.unsettled;
    find("#wants").hidden = unsettled === 0;
    write(document, { wants: unsettled ? say("wants_person", { count: number(unsettled) }) : "" });
  }

  drawTrouble(waits, sender) {
    const trouble = sender.trouble ?? (this.fieldbook.reached === false ? this.fieldbook.fetchTrouble : null);
    const place = find("#trouble");
    const name = trouble && (TROUBLES[trouble.why] ?? "not_taken");
    const over = Date.parse(this.fieldbook.data.forget_at) <= now() && waits > 0;
    const minutes = Math.round((this.fieldbook.kept.ahead ?? 0) / 60_000);
    const sentences = [
      name ? say(name, { name: trouble.sentence, why: trouble.sentence }) : "",
      over ? say("over_and_waiting") : "",
      this.fieldbook.kept.state.status === "posted" ? "" : say("day_not_open"),
      minutes > 0 ? say("clock_behind", { minutes }) : "",
      minutes < 0 ? say("clock_ahead", { minutes: -minutes }) : "",
    ].filter(Boolean);
    place.replaceChildren(sentences.join(" "));
    if (name === "signed_out" || name === "other_account") {
      const link = document.createElement("a");
      link.href = `${find("#start").dataset.login}?next=${encodeURIComponent(location.pathname)}`;
      link.textContent = say("sign_in");
      place.append(" ", link);
    }
    place.hidden = sentences.length === 0;
  }
}
