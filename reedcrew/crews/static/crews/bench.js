/* Picking a person up and putting them on another person, a zone or a role fills in the pin form, which does the pinning.
   Without this script the form is filled in by hand. */

const form = document.querySelector("#pin-form");
const putRow = document.querySelector("#put-row");
const said = document.querySelector("#pin-said");

function choose(name, value) {
  const field = form.elements.namedItem(name);
  if (field) {
    field.value = value;
  }
}

function fill(person, target) {
  choose("member", person.dataset.person);
  choose("other", "");
  choose("zone", target.dataset.zone ?? "");
  choose("role", target.dataset.role ?? "");
  if (target.dataset.role) {
    choose("kind", "role");
  } else if (target.dataset.zone) {
    choose("kind", "zone");
  } else {
    choose("kind", "pair");
    choose("other", target.dataset.person);
  }
  said.textContent = said.dataset.filled;
  form.querySelector("button").focus();
}

function targetAt(event, grip) {
  const place = document
    .elementsFromPoint(event.clientX, event.clientY)
    .map((element) => element.closest("[data-put]"))
    .find(Boolean);
  return place && place.dataset.person !== grip.dataset.person ? place : null;
}

function pickUp(grip, event) {
  event.preventDefault();
  grip.setPointerCapture(event.pointerId);
  const picked = document.createElement("div");
  picked.className = "picked";
  picked.textContent = grip.dataset.name;
  document.body.append(picked);
  putRow.hidden = false;
  let target = null;

  function move(moved) {
    picked.style.transform = `translate(${moved.clientX + 12}px, ${moved.clientY + 12}px)`;
    const now = targetAt(moved, grip);
    if (now !== target) {
      target?.classList.remove("put-here");
      now?.classList.add("put-here");
      target = now;
    }
  }

  function end(ended) {
    grip.removeEventListener("pointermove", move);
    grip.removeEventListener("pointerup", end);
    grip.removeEventListener("pointercancel", end);
    picked.remove();
    putRow.hidden = true;
    target?.classList.remove("put-here");
    if (ended.type === "pointerup" && target) {
      fill(grip, target);
    }
  }

  move(event);
  grip.addEventListener("pointermove", move);
  grip.addEventListener("pointerup", end);
  grip.addEventListener("pointercancel", end);
}

if (form) {
  for (const grip of document.querySelectorAll(".grip")) {
    grip.hidden = false;
    grip.addEventListener("pointerdown", (event) => pickUp(grip, event));
  }
}
