/* Stems by zone and unit: a counter for one thumb, bundles with a sample, and what was written down. */

import { find, lines, offer, onPress, onSend, show, write } from "../dom.js";
import * as store from "../store.js";
import { clock, number, say } from "../words.js";

export function startStems(fieldbook, root) {
  const zone = find("#stems-zone");
  const unit = find("#stems-unit");
  let count = 0;
  let shownFor = "";
  let adding = Promise.resolve();

  function draft() {
    return `${fieldbook.key}:stems:${zone.value}:${unit.value}`;
  }

  function chosen() {
    return { zone: Number(zone.value), unit: unit.value ? Number(unit.value) : null };
  }

  function where(tally) {
    const name = fieldbook.data.zones.find((one) => one.id === tally.zone)?.name ?? "";
    return tally.unit ? say("unit_zone", { unit: tally.unit, zone: name }) : name;
  }

  function stemsOf(tally) {
    if (tally.stems !== undefined && tally.stems !== null) {
      return tally.stems;
    }
    const sample = tally.sample.reduce((sum, stems) => sum + stems, 0);
    return Math.round((tally.bundles * sample) / tally.sample.length); // the server's sum stands as soon as it is sent
  }

  async function draw() {
    const { data, day } = fieldbook;
    offer(zone, data.zones.map((one) => [one.id, one.name]));
    offer(unit, [["", say("no_unit")], ...data.units.map((one) => [one.number, say("unit", { unit: one.number })])]);
    if (shownFor !== draft()) {
      shownFor = draft();
      count = (await store.noteOf(draft())) ?? 0;
    }
    const standing = day.tallies.filter((tally) => !tally.struck);
    write(root, {
      total: number(standing.reduce((sum, tally) => sum + stemsOf(tally), 0)),
      draft: number(count),
      write_down: count > 0 ? say("write_down_stems", { stems: number(count) }) : say("write_down"),
    });
    const newest = [...day.tallies].sort((a, b) => b.at.localeCompare(a.at));
    lines(find("#tallies"), "line", newest.map((tally) => ({ key: tally.id, ...tally })), (line, tally) => {
      write(line, {
        what: say("stems", { stems: number(stemsOf(tally)) }),
        more: `${where(tally)}, ${clock(tally.at)}`,
        waits: tally.waits ? say("not_sent_yet") : "",
        struck: tally.struck ? say("struck_out") : "",
      });
      show(line, { may_strike: !tally.struck });
    });
  }

  for (const select of [zone, unit]) {
    select.addEventListener("change", draw);
  }

  onPress(root, {
    add(step) {
      adding = adding.then(async () => {
        const next = Math.max(0, count + Number(step));
        try {
          await store.keepNote(draft(), next);
          count = next;
        } catch {
          fieldbook.refuse("not_kept");
        }
        await draw();
      });
    },
    async write_tally() {
      await adding;
      if (count === 0) {
        fieldbook.refuse("count_first");
        return;
      }
      const stems = count;
      shownFor = "";
      const told = say("did_tally", { stems: number(stems) });
      await fieldbook.add("tally", { ...chosen(), stems }, { draft: draft(), told });
    },
    strike(key) {
      fieldbook.add("strike", { entry: key, reason: say("struck_on_phone") });
    },
  });

  onSend(find("#bundles"), async ({ bundles, sample }) => {
    const numbers = sample.split(/[\s,;]+/).filter(Boolean);
    if (!/^[1-9]\d{0,4}$/.test(bundles)) {
      return fieldbook.refuse("give_bundles");
    }
    if (numbers.length < 2 || !numbers.every((text) => /^\d{1,5}$/.test(text))) {
      return fieldbook.refuse("give_sample");
    }
    const told = say("did_bundles", { bundles: number(Number(bundles)) });
    return fieldbook.add("tally", { ...chosen(), bundles: Number(bundles), sample: numbers.map(Number) }, { told });
  });
  return draw;
}
