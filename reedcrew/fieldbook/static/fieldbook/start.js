/* Which days this phone keeps, for an installed fieldbook that is opened without an address; and what is over, removed. */

import { find, lines, write } from "./dom.js";
import * as store from "./store.js";
import { addressOf } from "./sync.js";
import { now } from "./time.js";
import { longDay, say } from "./words.js";

/** Take days that are over off this phone. Answers the days that stay because entries of them wait to be sent. */
export async function forgetOver() {
  const over = (await store.days()).filter((day) => Date.parse(day.data.forget_at) <= now());
  const kept = [];
  for (const day of over) {
    if ((await store.forgetDay(day.key)) > 0) {
      kept.push(day);
    }
  }
  return kept;
}

/** The page without a day: the days of this phone. */
export async function startPage(slug, trouble = "") {
  await forgetOver();
  const root = find("#start-page");
  root.hidden = false;
  find("#day-trouble").hidden = !trouble;
  find("#day-trouble").textContent = trouble;
  find("#group-days").href = `/g/${slug}/days/`;
  const days = (await store.days()).sort((a, b) => a.data.day.starts_at.localeCompare(b.data.day.starts_at));
  find("#no-day").hidden = days.length > 0;
  lines(find("#days"), "day", days, (line, { key, data }) => {
    const shown = say("day_line", { site: data.site.name, day: longDay(data.day.starts_at, data.site.time_zone) });
    write(line, { title: data.day.title, line: shown });
    find("a", line).href = addressOf(key);
  });
}
