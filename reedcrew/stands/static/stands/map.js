/* Puts a live map in place of the drawing that the page comes with. The drawing stays where the map cannot be had. */

import { addFeatures, liveMap, show, wordsOf } from "./live.js";

async function enliven(figure) {
  const place = document.createElement("div");
  place.className = "map-live";
  const sheet = figure.querySelector(".map-sheet");
  figure.prepend(place);
  const map = liveMap(place, figure);
  map.setView([0, 0], 1, { animate: false });
  try {
    const features = await addFeatures(map, figure);
    if (!features.getLayers().length) {
      throw new Error("nothing to show");
    }
    show(map, features);
    sheet?.setAttribute("hidden", "");
    figure.dataset.ready = "yes";
  } catch {
    map.remove();
    place.remove();
    if (sheet) {
      const said = document.createElement("p");
      said.className = "soft";
      said.textContent = wordsOf(figure).failed;
      sheet.after(said);
    }
  }
}

for (const figure of document.querySelectorAll("[data-map]")) {
  enliven(figure);
}
