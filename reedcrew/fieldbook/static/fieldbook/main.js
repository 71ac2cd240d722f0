/* The fieldbook of a day on a phone: opens what the phone keeps, draws the screens, and sends in the background. */

import { find } from "./dom.js";
import { Fieldbook } from "./fieldbook.js";
import { startPage } from "./start.js";
import * as store from "./store.js";
import { Sender } from "./sync.js";

const { worker } = find("#start").dataset;
const [, slug, day] = location.pathname.match(/^\/g\/([^/]+)\/days\/(?:(\d+)\/)?field\/$/) ?? [];

/* The worker answers for the group's fieldbook pages; the shell is fetched once and works without a network then. */
if (navigator.serviceWorker && slug) {
  navigator.serviceWorker.register(worker, { scope: `/g/${slug}/days/`, type: "classic" }).catch(() => {});
}
navigator.storage?.persist?.().catch(() => {}); // browsers may clear what they were not asked to keep

if (slug) {
  const manifest = document.createElement("link");
  manifest.rel = "manifest";
  manifest.href = `/g/${slug}/days/fieldbook.webmanifest`;
  manifest.crossOrigin = "use-credentials";
  document.head.append(manifest);
}

async function sendAll() {
  const phone = await store.noteOf("phone");
  if (phone) {
    await new Sender(phone, () => {}).run();
  }
}

if (day) {
  await new Fieldbook(`${slug}/${day}`).open();
} else {
  await startPage(slug);
  sendAll(); // what waits of any day
}
