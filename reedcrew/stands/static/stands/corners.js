/* Between the text of an outline and corners: GeoJSON, or one corner a line as "latitude, longitude". What saves judges the
   text itself; here it is only shown, so that anything unclear is null. */

const LINE = /^([+-]?\d+(?:\.\d+)?)[\s°]*([NSns]?)[\s,;]+([+-]?\d+(?:\.\d+)?)[\s°]*([EWew]?)$/;

function signed(number, letter) {
  return /[swSW]/.test(letter) ? -Number(number) : Number(number);
}

/* A list of polygons, each a list of rings, each a list of [latitude, longitude] that does not repeat the first. */
export function polygonsOf(text) {
  const trimmed = text.trim();
  if (!trimmed) {
    return [];
  }
  if (trimmed.startsWith("{")) {
    return polygonsOfJson(trimmed);
  }
  const ring = [];
  for (const line of trimmed.split(/\r?\n/).map((each) => each.trim()).filter(Boolean)) {
    const found = LINE.exec(line);
    if (!found) {
      return null;
    }
    ring.push([signed(found[1], found[2]), signed(found[3], found[4])]);
  }
  return [[ring]];
}

function polygonsOfJson(text) {
  try {
    let value = JSON.parse(text);
    value = value.type === "FeatureCollection" ? value.features[0] : value;
    value = value.type === "Feature" ? value.geometry : value;
    const polygons = { Polygon: [value.coordinates], MultiPolygon: value.coordinates }[value.type];
    const open = (ring) => ring.slice(0, -1).map(([longitude, latitude]) => [latitude, longitude]);
    return polygons.map((rings) => rings.map(open));
  } catch {
    return null;
  }
}

/* The polygons as GeoJSON, or nothing where there is none. */
export function textOf(polygons, decimals) {
  if (!polygons.length) {
    return "";
  }
  const round = (value) => Number(value.toFixed(decimals));
  const closed = (ring) => [...ring, ring[0]].map(([latitude, longitude]) => [round(longitude), round(latitude)]);
  const coordinates = polygons.map((rings) => rings.map(closed));
  return JSON.stringify(
    coordinates.length === 1
      ? { type: "Polygon", coordinates: coordinates[0] }
      : { type: "MultiPolygon", coordinates },
  );
}

/* One polygon without holes as lines, so that another corner can be added; null for what lines cannot say. */
export function linesOf(polygons, decimals) {
  if (polygons.length > 1 || (polygons[0]?.length ?? 0) > 1) {
    return null;
  }
  const ring = polygons[0]?.[0] ?? [];
  return ring.map(([latitude, longitude]) => `${latitude.toFixed(decimals)}, ${longitude.toFixed(decimals)}`);
}
