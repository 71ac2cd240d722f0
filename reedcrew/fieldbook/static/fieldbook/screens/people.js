/* Who is here: sign in, sign out, late, left, did not come, walk-ups. */

import { all, find, lines, offer, onPress, onSend, show, write } from "../dom.js";
import { mayNotSignIn, mayNotSignOut } from "../rules.js";
import { clock, number, say } from "../words.js";

const TONES = { here: "done", water: "water", left: "info", absent: "stop", listed: "caution", expected: "open" };

function whereOf(person) {
  if (person.water) {
    return ["water", say("in_water_since", { time: clock(person.water.since) })];
  }
  if (person.here) {
    return ["here", say(person.here.inWater ? "here_for_water" : "here_since", { time: clock(person.here.since) })];
  }
  if (person.past.length > 0) {
    return ["left", say("left_at", { time: clock(person.past.at(-1).until) })];
  }
  if (person.absent) {
    return ["absent", say("did_not_come")];
  }
  return !person.confirmed && person.member ? ["listed", say("on_waiting_list")] : ["expected", say("not_here_yet")];
}

function taskOf(person, zones) {
  if (person.unit !== null) {
    return say("unit_zone", { unit: person.unit, zone: zones.get(person.zone) ?? "" });
  }
  return person.task;
}

/** Stays are kept in whole minutes. */
function minuteOf(moment) {
  return Math.floor(Date.parse(moment) / 60_000);
}

function guardianLine(person, day) {
  const guardian = day.people.find((other) => other.member && other.member === person.guardian);
  return guardian ? say("minor_with", { guardian: guardian.name }) : say("minor");
}

export function startPeople(fieldbook, root) {
  const list = find("#people-list");
  const search = find("#find-person");
  const walkUp = find("#walk-up");

  function draw() {
    const { day, data } = fieldbook;
    const zones = new Map(data.zones.map((zone) => [zone.id, zone.name]));
    const { people } = day;
    write(root, {
      on_site: number(day.here.length),
      in_water: number(day.water.members.length),
      expected: number(people.filter((person) => !["absent", "listed"].includes(whereOf(person)[0])).length),
      left: number(people.filter((person) => !person.here && person.past.length > 0).length),
    });
    const wanted = search.value.trim().toLocaleLowerCase();
    const shown = people.filter((person) => person.name.toLocaleLowerCase().includes(wanted));
    find("#nobody").hidden = shown.length > 0;
    lines(list, "person", shown, (line, person) => {
      const [where, words] = whereOf(person);
      write(line, {
        name: person.name,
        task: taskOf(person, zones),
        where: words,
        minor: person.minor ? guardianLine(person, day) : "",
        waits: person.waits ? say("not_sent_yet") : "",
        gear: person.here ? person.gear : "",
        past: person.past.map((stay) => `${clock(stay.since)}–${clock(stay.until)}`).join(", "),
      });
      find('[data-text="where"]', line).className = `badge badge-${TONES[where]}`;
      const tick = find('[name="in_water"]', line);
      if (!line.dataset.started) {
        tick.checked = person.plannedInWater;
        line.dataset.started = "yes";
      }
      const isWalkUp = person.member === null;
      show(line, {
        may_in: !person.here && !isWalkUp,
        may_out: Boolean(person.here),
        may_absent: where === "expected" && !isWalkUp,
      });
    });
    const adults = day.here.filter((person) => person.adult && person.member).map((person) => [person.member, person.name]);
    offer(find("#walk-guardian"), [["", "–"], ...adults]);
    const isMinor = new FormData(walkUp).get("adult") === "no";
    show(walkUp, { guardian: isMinor, adult: !isMinor });
  }

  function lineOf(key) {
    return all("li", list).find((line) => line.dataset.key === key);
  }

  /** The time that is given in the line, for the buttons beside it alone. */
  function atOf(key, button) {
    const given = button.closest("details") ? find('[name="at"]', lineOf(key)).value : "";
    return fieldbook.momentOf(given);
  }

  async function after(key) {
    const line = lineOf(key);
    if (line) {
      find('[name="at"]', line).value = "";
      find("details", line).open = false;
    }
  }

  onPress(list, {
    async sign_in(key, button) {
      const person = fieldbook.day.byKey.get(key);
      const inWater = find('[name="in_water"]', lineOf(key)).checked;
      if (fieldbook.refusedBy(mayNotSignIn(person, inWater, fieldbook.day))) {
        return;
      }
      const told = say("did_sign_in", { name: person.name });
      await fieldbook.add("sign_in", { member: person.member, in_water: inWater }, { at: atOf(key, button), told });
      after(key);
    },
    async sign_out(key, button) {
      const person = fieldbook.day.byKey.get(key);
      if (fieldbook.refusedBy(mayNotSignOut(person, fieldbook.day))) {
        return;
      }
      const at = atOf(key, button);
      if (minuteOf(at) < minuteOf(person.here.since)) {
        fieldbook.refuse("out_before_in", { name: person.name, signed_in: clock(person.here.since) });
        return;
      }
      await fieldbook.add("sign_out", { stay: person.here.id }, { at, told: say("did_sign_out", { name: person.name }) });
      after(key);
    },
    async absent(key) {
      const person = fieldbook.day.byKey.get(key);
      await fieldbook.add("absent", { member: person.member }, { told: say("did_absent", { name: person.name }) });
      after(key);
    },
    async strike(key) {
      const person = fieldbook.day.byKey.get(key);
      if (fieldbook.refusedBy(mayNotSignOut(person, fieldbook.day))) {
        return;
      }
      await fieldbook.add("strike", { entry: person.here.id, reason: say("signed_in_by_mistake") });
      after(key);
    },
  });

  search.addEventListener("input", draw);
  walkUp.addEventListener("change", draw);
  onSend(walkUp, async (given) => {
    const name = given.name.trim();
    if (!name) {
      return fieldbook.refuse("give_name");
    }
    if (!given.adult) {
      return fieldbook.refuse("give_age");
    }
    if (given.adult === "no" && !given.guardian) {
      return fieldbook.refuse("guardian_needed", { name });
    }
    if (!given.consent) {
      return fieldbook.refuse(given.adult === "no" ? "give_guardian_consent" : "give_consent");
    }
    const data = {
      ...{ name, adult: given.adult === "yes", email: given.email.trim(), consent: true },
      ...{ guardian: given.adult === "no" ? Number(given.guardian) : null, born_on: given.born_on || null },
      ...{ emergency_name: given.emergency_name.trim(), emergency_phone: given.emergency_phone.trim() },
    };
    const done = await fieldbook.add("walk_up", data, { told: say("did_walk_up", { name }) });
    walkUp.closest("details").open = !done;
    return done;
  });
  return draw;
}
