/* What is missing before the day can be closed on the server's page. */

import { find, lines, show, write } from "../dom.js";
import * as store from "../store.js";
import { number, say } from "../words.js";

export function startClose(fieldbook, root) {
  async function missing() {
    const { day, entries, photos, key } = fieldbook;
    const names = (people) => people.map((person) => person.name).join(", ");
    const found = [];
    if (day.water.members.length > 0) {
      found.push({ key: "water", what: say("missing_water"), more: names(day.water.members), go: say("to_water") });
    }
    if (day.here.length > 0) {
      found.push({ key: "people", what: say("missing_people"), more: names(day.here), go: say("to_people") });
    }
    const drafts = (await store.drafts(`${key}:stems:`)).filter((stems) => stems > 0);
    if (drafts.length > 0) {
      const stems = number(drafts.reduce((sum, each) => sum + each, 0));
      found.push({ key: "stems", what: say("missing_stems"), more: say("stems", { stems }), go: say("to_stems") });
    }
    const all = [...entries, ...photos];
    const waits = all.filter((one) => one.outcome === store.WAITING).length;
    if (waits > 0) {
      found.push({ key: "entries", what: say("missing_sent", { waits: number(waits) }), go: say("to_entries") });
    }
    return found;
  }

  return async function draw() {
    const found = await missing();
    lines(find("#missing"), "missing", found, (line, { key, what, more = "", go }) => {
      write(line, { what, more, go });
      find("a", line).href = `#${key}`;
    });
    const { unsettled } = fieldbook;
    write(root, { unsettled: unsettled ? say("wants_person", { count: number(unsettled) }) : "" });
    show(root, { ready: found.length === 0 });
  };
}
