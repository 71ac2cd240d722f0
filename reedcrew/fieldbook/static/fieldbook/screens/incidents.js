/* What went wrong: help first, then a few words that the organizer gets as soon as there is a network. */

import { find, lines, onSend, show, write } from "../dom.js";
import { clock, say } from "../words.js";

export function startIncidents(fieldbook, root) {
  function draw() {
    const { site } = fieldbook.data;
    write(root, {
      entrance: site.emergency_entrance ? say("entrance", { entrance: site.emergency_entrance }) : "",
      position: site.latitude ? say("position", { latitude: site.latitude, longitude: site.longitude }) : "",
    });
    const newest = [...fieldbook.day.incidents].sort((a, b) => b.at.localeCompare(a.at));
    lines(find("#incident-list"), "line", newest.map((one) => ({ key: one.id, ...one })), (line, incident) => {
      write(line, {
        what: say(`incident_${incident.kind}`),
        more: `${incident.what ?? ""} (${clock(incident.at)})`,
        waits: incident.waits ? say("not_sent_yet") : "",
        struck: incident.struck ? say("struck_out") : "",
      });
      show(line, { may_strike: false });
    });
  }

  onSend(find("#incident"), async ({ kind, what, who, when, first_aid: firstAid, witness }) => {
    if (!kind) {
      return fieldbook.refuse("give_incident_kind");
    }
    if (!what.trim()) {
      return fieldbook.refuse("give_what_happened");
    }
    const data = { kind, what: what.trim(), who: who.trim(), first_aid: firstAid.trim(), witness: witness.trim() };
    return fieldbook.add("incident", data, { at: fieldbook.momentOf(when) });
  });
  return draw;
}
