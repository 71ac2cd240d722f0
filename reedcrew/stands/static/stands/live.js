/* What every live map has: the base map or a graticule, a bar for the scale, and features told apart by pattern, dash and
   word. `L` is Leaflet, which the page loads before this module. */

const L = window.L;
const NAMES_FROM_ZOOM = 16; // names of zones would cover each other on a smaller scale

export function wordsOf(element) {
  return JSON.parse(element.dataset.words);
}

function inText(text) {
  const element = document.createElement("span");
  element.textContent = text;
  return element;
}

/* Lines of whole steps of a degree, four to nine across the view: on a plain ground they show where one is. */
function graticule(map) {
  const lines = L.layerGroup().addTo(map);
  const stepOf = (span) => {
    const power = 10 ** Math.floor(Math.log10(span / 4));
    return [5, 2, 1].map((each) => each * power).find((each) => span / each >= 4) ?? power;
  };
  const draw = () => {
    lines.clearLayers();
    const view = map.getBounds();
    const [south, north, west, east] = [view.getSouth(), view.getNorth(), view.getWest(), view.getEast()];
    const style = { className: "map-graticule", interactive: false };
    const label = (place, text) =>
      lines.addLayer(
        L.marker(place, {
          interactive: false,
          keyboard: false,
          icon: L.divIcon({ className: "map-degree", html: inText(text), iconSize: null }),
        }),
      );
    const across = stepOf(east - west);
    const along = stepOf(north - south);
    const places = Math.max(0, Math.ceil(-Math.log10(Math.min(across, along))));
    for (let lon = Math.ceil(west / across) * across; lon < east; lon += across) {
      lines.addLayer(L.polyline([[south, lon], [north, lon]], style));
      label([south, lon], `${lon.toFixed(places)}°`);
    }
    for (let lat = Math.ceil(south / along) * along; lat < north; lat += along) {
      lines.addLayer(L.polyline([[lat, west], [lat, east]], style));
      label([lat, west], `${lat.toFixed(places)}°`);
    }
  };
  map.on("moveend zoomend resize", draw);
  map.whenReady(draw);
}

export function liveMap(place, element) {
  const data = element.dataset;
  const words = wordsOf(element);
  delete L.Icon.Default.prototype._getIconUrl; // it guesses from the style sheet, where files have names with a hash
  L.Icon.Default.mergeOptions({ iconUrl: data.icon, iconRetinaUrl: data.iconLarge, shadowUrl: data.shadow });
  const map = L.map(place, { zoomControl: false, maxZoom: 21, zoomAnimation: false, fadeAnimation: false });
  map.attributionControl.setPrefix(false);
  place.setAttribute("role", "region");
  place.setAttribute("aria-label", words.map);
  L.control.zoom({ zoomInTitle: words.zoomIn, zoomOutTitle: words.zoomOut }).addTo(map);
  L.control.scale({ imperial: false }).addTo(map);
  if (data.tiles) {
    const layer = L.tileLayer(data.tiles, { maxZoom: 21, maxNativeZoom: 19, className: "map-tiles" });
    layer.getAttribution = () => inText(data.attribution).innerHTML;
    layer.addTo(map);
  } else {
    graticule(map);
  }
  const named = () => place.classList.toggle("map-names", map.getZoom() >= NAMES_FROM_ZOOM);
  map.on("zoomend", named);
  map.whenReady(named);
  return map;
}

function styleOf(feature) {
  const kind = feature.properties.kind;
  if (kind === "zone") {
    const of = feature.properties.depth_class;
    return { className: `zone-${of}`, fillColor: `url(#map-${of})`, fillOpacity: 1 };
  }
  return { className: kind === "stand" ? "map-stand" : "map-boundary", fill: false };
}

function addressOf(feature, data) {
  const [kind, key] = feature.id.split("-");
  const base = { site: data.sites, stand: data.stands }[kind];
  return base ? base.replace("/0/", `/${key}/`) : "";
}

/* A card with the name, what is known, and for sites and stands the way to their page. */
function cardOf(feature, data, words) {
  const card = document.createElement("div");
  const name = document.createElement("strong");
  name.textContent = feature.properties.name;
  const address = addressOf(feature, data);
  if (address) {
    const link = document.createElement("a");
    link.href = address;
    link.append(name);
    card.append(link);
  } else {
    card.append(name);
  }
  if (feature.properties.kind === "zone") {
    card.append(document.createElement("br"), kindOf(feature, words));
  }
  return card;
}

function kindOf(feature, words) {
  const { depth_class: kind, depth_today_cm: depth } = feature.properties;
  return `${words[kind]}, ${words.cm.replace("{depth}", depth)}`;
}

/* Boundaries lie lowest and stands highest, as lines; zones between them have the patterns, the larger below the smaller. */
const ORDER = ["boundary", "zone", "stand", "site"];

function higher({ properties: one }, { properties: other }) {
  return ORDER.indexOf(one.kind) - ORDER.indexOf(other.kind) || (other.area_m2 ?? 0) - (one.area_m2 ?? 0);
}

export async function addFeatures(map, element, { skip = "" } = {}) {
  const words = wordsOf(element);
  const answer = await fetch(element.dataset.data, { headers: { Accept: "application/geo+json" } });
  if (!answer.ok) {
    throw new Error(`${answer.status}`);
  }
  const collection = await answer.json();
  const drawn = collection.features.filter((feature) => feature.geometry && feature.id !== skip);
  drawn.sort(higher);
  return L.geoJSON(drawn, {
    style: styleOf,
    pointToLayer: (feature, place) =>
      L.marker(place, { alt: feature.properties.name, title: feature.properties.name, autoPanOnFocus: false }),
    onEachFeature: (feature, layer) => {
      layer.bindPopup(() => cardOf(feature, element.dataset, words));
      if (feature.properties.kind === "zone") {
        const label = inText(`${feature.properties.name}: ${words[feature.properties.depth_class]}`);
        layer.bindTooltip(label, { permanent: true, direction: "center", className: "map-label" });
      }
    },
  }).addTo(map);
}

/* What is worked, where any of it is drawn: a boundary and a meeting place may lie far around it. */
function drawnBounds(layer) {
  const worked = L.featureGroup();
  layer.eachLayer((each) => {
    if (["stand", "zone"].includes(each.feature?.properties.kind)) {
      worked.addLayer(each);
    }
  });
  const bounds = worked.getBounds();
  return bounds.isValid() ? bounds : layer.getBounds();
}

export function show(map, layer, otherwise) {
  const bounds = drawnBounds(layer);
  if (bounds.isValid()) {
    map.fitBounds(bounds, { maxZoom: 20, padding: [24, 24], animate: false });
  } else if (otherwise) {
    map.setView(otherwise, 17, { animate: false });
  }
}
