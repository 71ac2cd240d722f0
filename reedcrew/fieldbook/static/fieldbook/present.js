/* How the day stands: what the server last said, and on top of it what waits on this phone. Pure: no clock, no store. */

import { WAITING } from "./store.js";

/** The key of a member in the list of people. */
export function keyOfMember(member) {
  return `m${member}`;
}

function personOf(row) {
  return {
    key: keyOfMember(row.member),
    member: row.member,
    name: row.name,
    adult: row.adult === true, // what is not known keeps out of the water
    minor: row.adult === false,
    guardian: row.guardian,
    confirmed: row.place_state !== "waiting",
    plannedInWater: row.in_water === true,
    unit: row.unit ?? null,
    zone: row.zone ?? null,
    task: row.task ?? "",
    gear: row.gear ?? "",
    facts: row.facts ?? null,
    ...{ absent: false, heard: false, here: null, past: [], water: null, waits: false },
  };
}

class Folding {
  constructor(data) {
    this.people = new Map(data.roster.map((row) => [keyOfMember(row.member), personOf(row)]));
    this.checks = [];
    this.tallies = [];
    this.loads = [];
    this.incidents = [];
  }

  /** Somebody of the server's rows, also one whom the kept roster does not have yet. */
  known(member, name) {
    if (!this.person(member)) {
      this.people.set(keyOfMember(member), personOf({ member, name, adult: null, guardian: null }));
    }
    return this.person(member);
  }

  person(member) {
    return this.people.get(keyOfMember(member));
  }

  inWater() {
    return [...this.people.values()].filter((person) => person.water);
  }

  walkUp(id, name, adult, guardian, at, waits) {
    this.people.set(id, {
      ...personOf({ member: null, name, adult, guardian }),
      key: id,
      here: { id, since: at, inWater: false },
      waits,
    });
  }

  goIn(members, at, zone, unit, waits) {
    for (const person of members.map((member) => this.person(member)).filter(Boolean)) {
      person.water ??= { since: at, zone, unit };
      person.waits ||= waits;
    }
  }

  comeOut(members) {
    for (const person of members.map((member) => this.person(member)).filter(Boolean)) {
      person.water = null;
    }
  }

  signOut(stay, at) {
    for (const person of this.people.values()) {
      if (person.here?.id === stay) {
        person.past.push({ ...person.here, until: at });
        person.here = null;
        person.waits = true;
      }
    }
  }

  strike(entry) {
    for (const person of [...this.people.values()]) {
      if (person.here?.id === entry) {
        person.here = null;
        person.waits = true;
      }
      person.past = person.past.filter((stay) => stay.id !== entry);
      if (person.key === entry && !person.here) {
        this.people.delete(person.key);
      }
    }
    for (const line of [...this.tallies, ...this.loads, ...this.incidents]) {
      line.struck ||= line.id === entry;
    }
  }
}

/** What each kind of entry does to the day. */
const KINDS = {
  sign_in(day, { id, at, data }) {
    const person = day.person(data.member);
    if (person && !person.here) {
      Object.assign(person, { here: { id, since: at, inWater: data.in_water }, absent: false, waits: true });
    }
  },
  sign_out: (day, { at, data }) => day.signOut(data.stay, at),
  walk_up: (day, { id, at, data }) => day.walkUp(id, data.name, data.adult, data.guardian ?? null, at, true),
  absent(day, { data }) {
    const person = day.person(data.member);
    if (person && !person.here && person.past.length === 0) {
      Object.assign(person, { absent: true, waits: true });
    }
  },
  briefing_heard(day, { data }) {
    for (const person of data.members.map((member) => day.person(member)).filter(Boolean)) {
      person.heard = true;
    }
  },
  water_in: (day, { at, data }) => day.goIn(data.members, at, data.zone, data.unit, true),
  water_out: (day, { data }) => day.comeOut(data.members),
  all_out(day, { data }) {
    const inside = day.inWater();
    if (data.count === data.expected && data.count >= inside.length) {
      day.comeOut(inside.map((person) => person.member));
    } // a count that differs takes nobody off the list
  },
  head_check: (day, { at, data }) => day.checks.push({ at, seen: data.seen, expected: data.expected }),
  tally: (day, { id, at, data }) => day.tallies.push({ id, at, ...data, struck: false, waits: true }),
  load: (day, { id, at, data }) => day.loads.push({ id, at, ...data, struck: false, waits: true }),
  incident: (day, { id, at, data }) => day.incidents.push({ id, at, ...data, struck: false, waits: true }),
  strike: (day, { data }) => day.strike(data.entry),
};

/** What the server's rows say; see sync/day_state.py. */
function foldServer(day, state) {
  for (const stay of state.stays) {
    const person = day.known(stay.member, stay.name);
    const kept = { id: stay.id, since: stay.signed_in_at, inWater: stay.in_water };
    if (stay.signed_out_at) {
      person.past.push({ ...kept, until: stay.signed_out_at });
    } else {
      person.here = kept;
    }
  }
  for (const { member, zone, unit, since } of state.water) {
    day.known(member, "").water = { since, zone, unit };
  }
  for (const person of state.heard.map((member) => day.person(member)).filter(Boolean)) {
    person.heard = true;
  }
  for (const person of state.absent.map((member) => day.person(member)).filter(Boolean)) {
    person.absent = !person.here && person.past.length === 0;
  }
  day.checks.push(...state.checks.filter((check) => !check.all_out));
  for (const name of ["tallies", "loads", "incidents"]) {
    day[name].push(...state[name].map((line) => ({ ...line, struck: false, waits: false })));
  }
}

/** The day as it stands now, from the day's data with the server's state, and this phone's entries. */
export function present(data, state, entries) {
  const day = new Folding(data);
  foldServer(day, state);
  const waits = entries.filter((entry) => entry.outcome === WAITING);
  for (const entry of waits.sort((a, b) => a.at.localeCompare(b.at) || a.id.localeCompare(b.id))) {
    KINDS[entry.kind]?.(day, entry);
  }
  const people = [...day.people.values()].sort((a, b) => a.name.localeCompare(b.name));
  const members = people.filter((person) => person.water);
  const [since] = members.map((person) => person.water.since).sort(); // who is in for longest
  const checks = day.checks.sort((a, b) => a.at.localeCompare(b.at));
  const agreed = checks.filter((check) => check.seen === check.expected).map((check) => check.at);
  return {
    people,
    byKey: new Map(people.map((person) => [person.key, person])),
    here: people.filter((person) => person.here),
    waterDaysMin: data.water_days_min,
    water: { members, since: since ?? null, checked_at: agreed.sort().at(-1) ?? null, last: checks.at(-1) ?? null },
    tallies: day.tallies,
    loads: day.loads,
    incidents: day.incidents,
  };
}
