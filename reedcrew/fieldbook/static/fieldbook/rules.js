/* What the fieldbook refuses without asking the server: the same rules by the same sentences. What is not known keeps a
   person out of the water. Each function answers the name of a sentence with its values, or null. */

import { keyOfMember } from "./present.js";

function refusal(name, values = {}) {
  return { name, values };
}

function names(people) {
  return people.map((person) => person.name).join(", ");
}

/** Design, H3: a minor is on site with their own guardian only, and in water only where the guardian works in water. */
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
    return refusal("still_in_water", { name: person.name });
  }
  const children = day.here.filter((other) => !other.adult && other.member && other.guardian === person.member);
  return children.length ? refusal("children_on_site", { children: names(children) }) : null;
}

/** Why one person stays on land, or null. */
export function staysOnLand(person) {
  if (!person.member) {
    return refusal("walk_up_on_land", { name: person.name });
  }
  if (!person.here) {
    return refusal("not_signed_in", { name: person.name });
  }
  if (!person.here.inWater) {
    return refusal("signed_in_on_land", { name: person.name });
  }
  return person.heard ? null : refusal("briefing_not_heard", { name: person.name });
}

function together(one, other) {
  return one.zone === other.zone && one.unit === other.unit;
}

/** Nobody is alone in water: two go in together, or one joins a unit that is in. A minor goes with their guardian. */
export function mayNotGoIn(people, where, day) {
  const wrong = people.map(staysOnLand).find(Boolean);
  if (wrong) {
    return wrong;
  }
  const going = people.filter((person) => !person.water);
  if (going.length === 0) {
    return refusal("choose_people");
  }
  const joined = day.water.members.filter((person) => together(person.water, where));
  if (going.length + joined.length < 2) {
    return refusal("alone_in_water", { name: going[0].name });
  }
  const beside = new Set([...going, ...joined].map((person) => person.member));
  const child = going.find((person) => !person.adult && !beside.has(person.guardian));
  return child ? refusal("guardian_not_beside", { name: child.name }) : null;
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
