/* Cut material that was piled or bagged. */

import { find, lines, onPress, onSend, show, write } from "../dom.js";
import { clock, number, say } from "../words.js";

export function startLoads(fieldbook) {
  function draw() {
    const newest = [...fieldbook.day.loads].sort((a, b) => b.at.localeCompare(a.at));
    lines(find("#load-list"), "line", newest.map((load) => ({ key: load.id, ...load })), (line, load) => {
      write(line, {
        what: say(load.as === "pile" ? "piles" : "bags", { count: number(load.count) }),
        more: [load.place, load.seed_heads ? say("seed_heads") : "", clock(load.at)].filter(Boolean).join(", "),
        waits: load.waits ? say("not_sent_yet") : "",
        struck: load.struck ? say("struck_out") : "",
      });
      show(line, { may_strike: !load.struck });
    });
  }

  onPress(find("#load-list"), {
    strike: (key) => fieldbook.add("strike", { entry: key, reason: say("struck_on_phone") }),
  });

  onSend(find("#load"), async ({ as, count, place, seed_heads: seedHeads }) => {
    if (!/^[1-9]\d{0,3}$/.test(count)) {
      return fieldbook.refuse("give_count");
    }
    if (!place.trim()) {
      return fieldbook.refuse("give_place");
    }
    if (as === "pile" && seedHeads) {
      return fieldbook.refuse("seed_heads_in_bags");
    }
    return fieldbook.add("load", { as, count: Number(count), seed_heads: Boolean(seedHeads), place: place.trim() });
  });
  return draw;
}
