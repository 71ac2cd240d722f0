/* On the page for signing out: what this browser keeps of fieldbooks goes, except what has not reached the server. */

import { countWaiting, days, forgetDay } from "./store.js";

const form = document.querySelector("form[data-leaving]");
const place = document.querySelector('[data-leaving-warning="fieldbook/leaving.js"]');

async function warn() {
  const waits = await countWaiting();
  if (waits > 0) {
    place.querySelector("p").textContent = place.dataset.warning.replace("%(waits)s", waits);
    place.hidden = false;
  }
  return waits;
}

if (form && place) {
  let warned = (await warn()) > 0;
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if ((await warn()) > 0 && !warned) {
      warned = true; // something came to wait meanwhile: read this first
      place.scrollIntoView();
      return;
    }
    for (const day of await days()) {
      await forgetDay(day.key);
    }
    form.submit();
  });
}
