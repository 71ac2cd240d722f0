/* Every entry of this phone with what became of it, and what a person must settle with both versions. */

import { find, lines, onPress, write } from "../dom.js";
import * as store from "../store.js";
import { putRight } from "../time.js";
import { dayAndClock, say } from "../words.js";

const TONES = { waiting: "open", taken: "done", again: "done", conflict: "caution", refused: "stop" };

export function startEntries(fieldbook, root) {
  const name = find("#phone-name");
  name.value = fieldbook.phone.name;
  name.addEventListener("change", async () => {
    fieldbook.phone.name = name.value.trim();
    await store.keepNote("phone", fieldbook.phone);
  });

  function about({ kind, data }) {
    const members = [data.member, ...(data.members ?? [])].filter(Boolean);
    const people = fieldbook.day.people.filter((person) => members.includes(person.member)).map((person) => person.name);
    const stays = fieldbook.day.people.filter((person) => person.past.some((stay) => stay.id === data.stay));
    const stems = data.stems ? say("stems", { stems: data.stems }) : "";
    return [...people, ...stays.map((person) => person.name), data.name, stems, data.place, kind === "note" ? data.text : ""]
      .filter(Boolean)
      .join(", ");
  }

  onPress(root, {
    send: () => fieldbook.sender.soon(),
    async forget() {
      const waits = await store.countWaiting();
      if (waits > 0) {
        fieldbook.refuse("cannot_forget", { waits });
        return;
      }
      await store.forgetDay(fieldbook.key);
      location.assign(location.pathname.replace(/\d+\/field\/$/, "field/"));
    },
  });

  return function draw() {
    const newest = [...fieldbook.entries].sort((a, b) => b.at.localeCompare(a.at));
    find("#no-entries").hidden = newest.length > 0;
    lines(find("#entry-list"), "entry", newest.map((entry) => ({ key: entry.id, ...entry })), (line, entry) => {
      write(line, {
        what: say(`kind_${entry.kind}`),
        more: [about(entry), dayAndClock(putRight(entry.at))].filter(Boolean).join(", "),
        outcome: say(`outcome_${entry.outcome}`),
        sentence: entry.sentence ?? "",
      });
      find('[data-text="outcome"]', line).className = `badge badge-${TONES[entry.outcome]}`;
    });
  };
}
