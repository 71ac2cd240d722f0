/* Photos of before and after, kept on the phone until they are sent. */

import { find, lines, offer, onSend, write } from "../dom.js";
import { preview, shrunk } from "../pictures.js";
import * as store from "../store.js";
import { newId, phoneTime, putRight } from "../time.js";
import { clock, say } from "../words.js";

export function startPhotos(fieldbook) {
  function draw() {
    const { data, photos } = fieldbook;
    const zones = new Map(data.zones.map((zone) => [zone.id, zone.name]));
    offer(find("#photo-zone"), [["", say("no_zone")], ...zones]);
    const newest = [...photos].sort((a, b) => b.at.localeCompare(a.at));
    lines(find("#photo-list"), "photo", newest.map((photo) => ({ key: photo.id, ...photo })), (line, photo) => {
      const what = say(photo.kind === "before" ? "photo_before" : "photo_after");
      const sent = photo.outcome === store.WAITING ? "not_sent_yet" : "sent";
      write(line, {
        what,
        more: [zones.get(photo.zone), clock(putRight(photo.at))].filter(Boolean).join(", "),
        waits: say(photo.outcome === "refused" ? "photo_refused" : sent),
        sentence: photo.sentence ?? "",
      });
      const canvas = find("canvas", line);
      canvas.setAttribute("aria-label", what);
      canvas.hidden = !photo.blob && !canvas.dataset.drawn;
      if (photo.blob && !canvas.dataset.drawn) {
        canvas.dataset.drawn = "yes";
        preview(canvas, photo.blob).catch(() => (canvas.hidden = true));
      }
    });
  }

  onSend(find("#photo"), async ({ kind, zone, photo: file }) => {
    if (!file?.size) {
      return fieldbook.refuse("choose_photo");
    }
    let blob;
    try {
      blob = await shrunk(file);
    } catch {
      return fieldbook.refuse("no_picture");
    }
    const { account, name } = fieldbook.data.me;
    const photo = {
      ...{ id: newId(), day: fieldbook.key, kind, zone: zone ? Number(zone) : null, at: phoneTime().toISOString(), blob },
      ...{ author: { account, name }, outcome: store.WAITING },
    };
    try {
      await store.keepPhoto(photo);
    } catch {
      return fieldbook.refuse("not_kept");
    }
    await fieldbook.changed();
    fieldbook.tell(say("did_photo"));
    return true;
  });
  return draw;
}
