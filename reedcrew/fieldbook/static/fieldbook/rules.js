/* What the fieldbook refuses without asking the server: the same rules by the same sentences. What is not known keeps a
   person out of the water. Each function answers the name of a sentence with its values, or null. */

import { keyOfMember } from "./present.js";

const UNIT_MAX = 3; // H1

function refusal(name, values = {}) {
  return { name, values };
}

function namesOf(people) {
  return people.map((person) => person.name).join(", ");
}

/** Design, H3: a minor is on site with their own guardian only, and signed in for water only where the guardian is. */
export function mayNotSignIn(person, inWater, day) {
  if (!person.confirmed) {
    return refusal("not_on_roster", { name: person.name });
  }
  if (!person.adult) {
    const guardian = day.byKey.get(keyOfMember(person.guardian));
    if (!guardian?.here) {
      return refusal("guardian_not_on_site", { name: person.name });
    }
    if (inWater && !guardian.here.inWater) {
      return refusal("guardian_not_in_water", { name: person.name });
    }
  }
  return null;
}

/** Nobody is forgotten: out of the water before signed out, and a guardian leaves with or after the children. */
export function mayNotSignOut(person, day) {
  if (person.water) {
    return refusal("still_in_water", { names: person.name });
  }
  const children = day.here.filter((other) => !other.adult && person.member && other.guardian === person.member);
  return children.length ? refusal("children_on_site", { children: namesOf(children) }) : null;
}

/** Why one person stays out of a zone, or null. */
export function staysOut(person, zone) {
  if (!person.member) {
    return refusal("walk_up_on_land", { name: person.name });
  }
  if (!person.here) {
    return refusal("not_signed_in", { names: person.name });
  }
  if (!person.heard) {
    return refusal("briefing_not_heard", { names: person.name });
  }
  if (!person.facts) {
    return refusal("unit.not_expected", { who: person.name });
  }
  const why = person.facts.stays_out[zone];
  return why ? refusal("as_it_is", { sentence: why }) : null;
}

/** Why people stay out of a zone: one sentence for those who stay out for the same reason. */
export function reasonsToStayOut(people, zone) {
  const found = new Map();
  for (const person of people) {
    const why = staysOut(person, zone);
    if (why) {
      const { name, values } = why;
      const key = values.names ? name : `${name} ${person.key}`;
      const names = [found.get(key)?.values.names, values.names].filter(Boolean).join(", ");
      found.set(key, { name, values: { ...values, names } });
    }
  }
  return [...found.values()];
}

/** Whether two are one unit; pairs of the moment have no number: those who went in at once are one. */
function together(one, other) {
  return one.zone === other.zone && one.unit === other.unit && (one.unit !== null || one.since === other.since);
}

function shareLanguage(people) {
  const [first, ...others] = people.map((person) => person.facts?.languages ?? []);
  return first.some((language) => others.every((spoken) => spoken.includes(language)));
}

/** Hard rules of a unit at the landing: H1 two or three, H2 experience, H3 guardian, H10 an adult on shore, H11 language.
    ``where`` is its zone and unit; who is in there already counts with it. */
export function mayNotGoIn(going, where, day) {
  if (going.length === 0) {
    return refusal("nobody_named");
  }
  const inside = going.filter((person) => person.water);
  if (inside.length > 0) {
    return refusal("in_water_already", { names: namesOf(inside) });
  }
  const wrong = going.map((person) => staysOut(person, where.zone)).find(Boolean);
  if (wrong) {
    return wrong;
  }
  const unit = [...going, ...day.water.members.filter((person) => together(person.water, where))];
  if (unit.length < 2 || unit.length > UNIT_MAX) {
    return refusal("H1.unit");
  }
  const child = unit.find((person) => !person.adult && !unit.some((other) => other.member === person.guardian));
  if (child) {
    return refusal("H3.unit_guardian", { who: child.name });
  }
  if (!unit.some((person) => person.facts?.experienced)) {
    return refusal("H2.unit", { days: day.waterDaysMin });
  }
  if (!shareLanguage(unit)) {
    return refusal("H11.unit");
  }
  const ashore = day.here.filter((person) => !person.water && !going.includes(person) && person.adult);
  return ashore.length > 0 ? null : refusal("nobody_on_shore");
}

/** Somebody who came out did come out; who is left alone by it is named, so that they are called out too. */
export function leftAlone(people, day) {
  const out = new Set(people);
  const left = day.water.members.filter((person) => !out.has(person));
  return left.filter((person) => {
    const beside = left.filter((other) => other !== person && together(other.water, person.water));
    return beside.length === 0 || (!person.adult && !beside.some((other) => other.member === person.guardian));
  });
}
