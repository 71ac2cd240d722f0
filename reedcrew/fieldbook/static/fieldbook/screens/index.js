/* Every screen by its name in the address. Each starts with the fieldbook and its part of the shell, and answers the
   function that draws it. */

import { startBriefing } from "./briefing.js";
import { startClose } from "./close.js";
import { startEntries } from "./entries.js";
import { startIncidents } from "./incidents.js";
import { startLoads } from "./loads.js";
import { startPeople } from "./people.js";
import { startPhotos } from "./photos.js";
import { startStems } from "./stems.js";
import { startWater } from "./water.js";

export const SCREENS = new Map([
  ["people", startPeople],
  ["briefing", startBriefing],
  ["water", startWater],
  ["stems", startStems],
  ["photos", startPhotos],
  ["loads", startLoads],
  ["incidents", startIncidents],
  ["close", startClose],
  ["entries", startEntries],
  ["more", () => null],
]);
