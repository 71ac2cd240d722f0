/* The briefing: every point is gone through, then who heard it is written down. */

import { all, copyOf, find, lines, onSend, write } from "../dom.js";
import * as store from "../store.js";
import { say } from "../words.js";

/** Offer people to tick; ticks that were set stay. A further answer of `ticked` says who is ticked at first. */
export function offerPeople(place, people, note = () => "", ticked = () => false) {
  const known = new Map([...place.children].map((label) => [label.dataset.key, label]));
  for (const person of people) {
    const label = known.get(person.key) ?? copyOf("tick");
    if (!known.has(person.key)) {
      label.dataset.key = person.key;
      const tick = find("input", label);
      tick.value = person.member;
      tick.checked = ticked(person);
      place.append(label);
    }
    known.delete(person.key);
    write(label, { name: person.name, note: note(person) });
  }
  for (const gone of known.values()) {
    gone.remove();
  }
}

/** The members that are ticked. */
export function tickedIn(place) {
  return all("input:checked", place).map((tick) => Number(tick.value));
}

export function startBriefing(fieldbook, root) {
  const list = find("#briefing-list");
  const people = find("#heard-people");
  const note = `${fieldbook.key}:briefing`;
  let gone = new Set();
  const ready = store.noteOf(note).then((kept) => (gone = new Set(kept ?? [])));

  async function draw() {
    await ready;
    const { data, day } = fieldbook;
    lines(list, "item", data.briefing.map((item) => ({ key: item.id, ...item })), (line, item) => {
      write(line, { title: item.title });
      find("input", line).checked = gone.has(item.id);
      find("ul", line).replaceChildren(
        ...item.lines.map((text) => Object.assign(document.createElement("li"), { textContent: text })),
      );
    });
    const here = day.here.filter((person) => person.member);
    offerPeople(people, here.filter((person) => !person.heard), () => "", () => true);
    const heard = here.filter((person) => person.heard).map((person) => person.name);
    write(root, { left_out: heard.length ? say("heard_already", { names: heard.join(", ") }) : "" });
  }

  list.addEventListener("change", async (event) => {
    const { key } = event.target.closest("[data-key]").dataset;
    if (event.target.checked) {
      gone.add(key);
    } else {
      gone.delete(key);
    }
    await store.keepNote(note, [...gone]);
  });

  onSend(find("#heard"), async () => {
    const left = fieldbook.data.briefing.filter((item) => !gone.has(item.id));
    if (left.length > 0) {
      return fieldbook.refuse("briefing_incomplete", { titles: left.map((item) => item.title).join(", ") });
    }
    const members = tickedIn(people);
    if (members.length === 0) {
      return fieldbook.refuse("nobody_named");
    }
    await fieldbook.add("briefing_heard", { items: [...gone], members });
    return false; // a reset would tick everybody again
  });
  return draw;
}
