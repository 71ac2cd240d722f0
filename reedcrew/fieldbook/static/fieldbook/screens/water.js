/* Who is in water and for how long; units go in and come out; everybody is called out and counted. */

import { find, lines, offer, onPress, onSend, show, write } from "../dom.js";
import { leftAlone, mayNotGoIn, reasonsToStayOut, staysOut } from "../rules.js";
import { now } from "../time.js";
import { lasted, number, say } from "../words.js";
import { offerPeople, tickedIn } from "./briefing.js";

const TICK_MS = 15_000;

export function startWater(fieldbook, root) {
  let allOut = false;
  const people = find("#go-in-people");

  function place(water) {
    const zone = fieldbook.data.zones.find((one) => one.id === water.zone)?.name ?? "";
    return water.unit === null ? zone : say("unit_zone", { unit: water.unit, zone });
  }

  function membersOf(unit) {
    const { byKey } = fieldbook.day;
    return unit.members.map((member) => byKey.get(`m${member}`)).filter(Boolean);
  }

  function readyOf(unit) {
    return membersOf(unit).filter((person) => !person.water && !staysOut(person, unit.zone));
  }

  function drawUnit(line, unit) {
    const members = membersOf(unit);
    const ready = readyOf(unit);
    const out = members.filter((person) => !person.water);
    const wrong = out.length > 0 ? mayNotGoIn(ready, { zone: unit.zone, unit: unit.number }, fieldbook.day) : null;
    const why = reasonsToStayOut(out, unit.zone);
    write(line, {
      title: place({ unit: unit.number, zone: unit.zone }),
      names: members.map((person) => person.name).join(", "),
      why: [...why, ...(why.length === 0 && wrong ? [wrong] : [])].map((one) => say(one.name, one.values)).join(" "),
      go_in: say("names_go_in", { names: ready.map((person) => person.name).join(", ") }),
      come_out: say("unit_is_out", { unit: unit.number }),
    });
    show(line, { may_in: ready.length > 0 && !wrong, may_out: out.length < members.length });
  }

  function draw() {
    const { data, day } = fieldbook;
    const { members } = day.water;
    write(root, { in_water: number(members.length), come_out: number(members.length) });
    allOut &&= members.length > 0;
    show(root, { somebody: members.length > 0, all_out: allOut });
    lines(find("#in-water"), "in-water", members, (line, person) => {
      write(line, { name: person.name, where: place(person.water), since: lasted(person.water.since, now()) });
    });
    lines(find("#units"), "unit", data.units.map((unit) => ({ key: unit.number, ...unit })), drawUnit);
    const may = day.here.filter((person) => !person.water && person.member);
    offer(find("#go-in-zone"), data.zones.filter((zone) => zone.water).map((zone) => [zone.id, zone.name]));
    offerPeople(people, may, (person) => {
      const stays = staysOut(person, Number(find("#go-in-zone").value));
      return stays ? say(stays.name, stays.values) : "";
    });
    const units = [...new Set(members.map((person) => person.water.unit).filter((unit) => unit !== null))];
    offer(find("#go-in-unit"), [["", say("no_unit")], ...units.map((unit) => [unit, say("unit", { unit })])]);
  }

  async function goIn(going, zone, unit) {
    if (fieldbook.refusedBy(mayNotGoIn(going, { zone, unit }, fieldbook.day))) {
      return false;
    }
    const members = going.map((person) => person.member);
    const told = say("did_water_in", { names: going.map((person) => person.name).join(", ") });
    return fieldbook.add("water_in", { members, zone, unit }, { told });
  }

  async function comeOut(coming) {
    const alone = leftAlone(coming, fieldbook.day);
    const told = say("did_water_out", { names: coming.map((person) => person.name).join(", ") });
    if (await fieldbook.add("water_out", { members: coming.map((person) => person.member) }, { told })) {
      if (alone.length > 0) {
        fieldbook.refuse("left_alone", { names: alone.map((person) => person.name).join(", ") });
      }
    }
  }

  function unitOf(key) {
    return fieldbook.data.units.find((unit) => String(unit.number) === key);
  }

  onPress(root, {
    count: () => fieldbook.headcount.ask(),
    ask_all_out() {
      allOut = true;
      draw();
      find("#all-out-seen").focus();
    },
    unit_in(key) {
      const unit = unitOf(key);
      goIn(readyOf(unit), unit.zone, unit.number);
    },
    unit_out(key) {
      comeOut(membersOf(unitOf(key)).filter((person) => person.water));
    },
    out(key) {
      comeOut([fieldbook.day.byKey.get(key)]);
    },
  });

  find("#go-in-zone").addEventListener("change", draw);
  onSend(find("#go-in"), async ({ zone, unit }) => {
    const going = tickedIn(people).map((member) => fieldbook.day.byKey.get(`m${member}`)).filter(Boolean);
    return goIn(going, Number(zone) || null, unit ? Number(unit) : null);
  });

  onSend(find("#all-out"), async ({ count }) => {
    if (!/^\d+$/.test(count)) {
      return fieldbook.refuse("give_count");
    }
    const [seen, expected] = [Number(count), fieldbook.day.water.members.length];
    const told = say("did_all_out", { seen });
    if (!(await fieldbook.add("all_out", { count: seen, expected }, { told }))) {
      return false;
    }
    if (seen !== expected) {
      fieldbook.refuse("count_differs", { seen, expected });
    }
    return true;
  });

  setInterval(() => fieldbook.day && draw(), TICK_MS);
  return draw;
}
