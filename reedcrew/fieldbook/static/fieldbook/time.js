/* Ids, and clocks: entries carry the phone's own time, and what is shown is put right by what the server's clock said. */

let ahead = 0; // ms that the server's clock is ahead of the phone's

/** A random id (RFC 9562, version 4), also where the page was opened without encryption. */
export function newId() {
  if (crypto.randomUUID) {
    return crypto.randomUUID();
  }
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}

/** What the phone's clock says. */
export function phoneTime() {
  return new Date();
}

/** The time as the server would have it. */
export function now() {
  return new Date(Date.now() + ahead);
}

export function useOffset(milliseconds) {
  ahead = milliseconds || 0;
}

/** A time of the phone's clock, put right. */
export function putRight(moment) {
  return new Date(Date.parse(moment) + ahead).toISOString();
}

/** What the phone's clock said at a time. */
export function onPhone(moment) {
  return new Date(Date.parse(moment) - ahead).toISOString();
}
