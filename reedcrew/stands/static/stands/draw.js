/* A drawing board above the text of an outline. The text is what is sent: the board writes into it and follows it. */

import { linesOf, polygonsOf, textOf } from "./corners.js";
import { addFeatures, liveMap, show, wordsOf } from "./live.js";

const L = window.L;

class Board {
  constructor(element) {
    this.element = element;
    this.data = element.dataset;
    this.words = wordsOf(element);
    this.text = document.getElementById(this.data.for);
    this.decimals = Number(this.data.decimals);
    this.status = element.querySelector("[data-status]");
    element.hidden = false;
    this.centre = [Number(this.data.latitude), Number(this.data.longitude)];
    this.map = liveMap(element.querySelector("[data-place]"), element);
    this.map.setView(this.centre, 17, { animate: false });
    this.outline = L.featureGroup().addTo(this.map);
    this.speak();
    this.listen();
    this.follow();
    this.surround();
  }

  /* The words of the drawing tools, in the reader's language. */
  speak() {
    const { handlers } = L.drawLocal.draw;
    Object.assign(handlers.polygon.tooltip, {
      start: this.words.first,
      cont: this.words.next,
      end: this.words.last,
    });
    handlers.polyline.error = this.words.crossing;
    Object.assign(L.drawLocal.edit.handlers.edit.tooltip, { text: this.words.move, subtext: "" });
  }

  listen() {
    const deeds = {
      draw: () => this.draw(),
      back: () => this.drawing?.deleteLastVertex(),
      finish: () => this.drawing?.completeShape(),
      move: () => this.move(),
      here: () => this.here(),
      clear: () => this.write([]),
    };
    for (const button of this.element.querySelectorAll("[data-deed]")) {
      button.addEventListener("click", deeds[button.dataset.deed]);
    }
    this.button("here").hidden = !("geolocation" in navigator);
    this.text.addEventListener("input", () => this.follow());
    this.map.on("draw:created", ({ layer }) => {
      this.take([layer]);
    });
    this.map.on("draw:drawstop", () => this.during(false));
    this.map.on("draw:editvertex draw:editmove", () => this.take(this.outline.getLayers(), { keep: true }));
  }

  button(deed) {
    return this.element.querySelector(`[data-deed="${deed}"]`);
  }

  async surround() {
    try {
      const features = await addFeatures(this.map, this.element, { skip: this.data.skip });
      this.outline.bringToFront();
      if (!this.outline.getLayers().length) {
        show(this.map, features, this.centre);
      }
    } catch {
      this.say(this.words.failed);
    }
    this.element.dataset.ready = "yes";
  }

  draw() {
    this.still();
    this.drawing = new L.Draw.Polygon(this.map, {
      allowIntersection: false,
      shapeOptions: { className: "map-drawn", fill: false },
    });
    this.drawing.enable();
    this.during(true);
    this.say(this.words.first);
  }

  during(drawing) {
    this.button("back").hidden = !drawing;
    this.button("finish").hidden = !drawing;
    if (!drawing) {
      this.drawing = null;
    }
  }

  move() {
    this.still();
    if (!this.outline.getLayers().length) {
      this.say(this.words.nothing);
      return;
    }
    this.moving = new L.EditToolbar.Edit(this.map, {
      featureGroup: this.outline,
      selectedPathOptions: { className: "map-drawn", maintainColor: true },
    });
    this.moving.enable();
    this.say(this.words.move);
  }

  still() {
    this.drawing?.disable();
    this.moving?.disable();
    this.drawing = this.moving = null;
  }

  /* Corners of layers into the text; `keep` leaves the layers as they are, because somebody is dragging them. */
  take(layers, { keep = false } = {}) {
    const polygons = layers.map((layer) => layer.getLatLngs().map((ring) => ring.map(({ lat, lng }) => [lat, lng])));
    if (keep) {
      this.text.value = textOf(polygons, this.decimals);
      this.count(polygons);
    } else {
      this.write(polygons);
    }
  }

  write(polygons) {
    this.still();
    this.text.value = textOf(polygons, this.decimals);
    this.follow();
  }

  /* Shows what the text says. */
  follow() {
    const polygons = polygonsOf(this.text.value);
    this.moving?.disable();
    this.moving = null;
    this.outline.clearLayers();
    if (polygons === null) {
      this.say(this.words.unread);
      return;
    }
    for (const rings of polygons) {
      L.polygon(rings, { className: "map-drawn", fill: false }).addTo(this.outline);
    }
    if (polygons.length) {
      show(this.map, this.outline, this.centre);
    }
    this.count(polygons);
  }

  count(polygons) {
    const corners = polygons.flat(2).length;
    if (!corners) {
      this.say(this.words.nothing);
      return;
    }
    const areaOf = (ring) => L.GeometryUtil.geodesicArea(ring.map((corner) => L.latLng(corner)));
    const area = polygons.reduce(
      (sum, [outer, ...holes]) => sum + areaOf(outer) - holes.reduce((holed, hole) => holed + areaOf(hole), 0),
      0,
    );
    this.say(this.words.corners.replace("{count}", corners).replace("{area}", Math.round(area)));
  }

  /* Walking around the reed with a phone: each press adds a line with the place. */
  here() {
    this.say(this.words.where);
    navigator.geolocation.getCurrentPosition(
      ({ coords }) => {
        const lines = linesOf(polygonsOf(this.text.value) ?? [], this.decimals);
        if (lines === null) {
          this.say(this.words.unread);
          return;
        }
        lines.push(`${coords.latitude.toFixed(this.decimals)}, ${coords.longitude.toFixed(this.decimals)}`);
        this.text.value = lines.join("\n");
        this.follow();
        this.say(this.words.added.replace("{accuracy}", Math.ceil(coords.accuracy)));
      },
      () => this.say(this.words.nowhere),
      { enableHighAccuracy: true, maximumAge: 0, timeout: 20000 },
    );
  }

  say(sentence) {
    this.status.textContent = sentence;
  }
}

for (const element of document.querySelectorAll("[data-board]")) {
  new Board(element);
}
