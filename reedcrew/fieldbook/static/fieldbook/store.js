/* What this phone keeps. A write is done when its transaction is complete and on the disk, and not before: only then may
   a page say "saved on this phone". */

const NAME = "reedcrew-fieldbook";
const STRICT = { durability: "strict" };
const PRIVATE = new Set(["incident", "note", "walk_up"]);
export const WAITING = "waiting";

let opened;

function open() {
  opened ??= new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      const database = asked.result;
      database.createObjectStore("days", { keyPath: "key" });
      for (const name of ["entries", "photos"]) {
        const store = database.createObjectStore(name, { keyPath: "id" });
        store.createIndex("day", "day");
        store.createIndex("outcome", "outcome");
      }
      database.createObjectStore("notes", { keyPath: "name" });
    };
    asked.onsuccess = () => {
      asked.result.onversionchange = () => asked.result.close();
      resolve(asked.result);
    };
    asked.onerror = () => reject(asked.error);
  });
  return opened;
}

function answer(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/** Write in one transaction; resolves when all of it is on the disk, rejects when none of it is. */
async function change(names, work) {
  const database = await open();
  return new Promise((resolve, reject) => {
    const transaction = database.transaction(names, "readwrite", STRICT);
    transaction.oncomplete = () => resolve();
    transaction.onabort = transaction.onerror = () => reject(transaction.error);
    Promise.resolve(work(transaction)).catch((error) => {
      reject(error);
      transaction.abort();
    });
  });
}

async function read(name, ask) {
  const database = await open();
  return answer(ask(database.transaction(name).objectStore(name)));
}

export function dayOf(key) {
  return read("days", (store) => store.get(key));
}

export function days() {
  return read("days", (store) => store.getAll());
}

export function entriesOf(day) {
  return read("entries", (store) => store.index("day").getAll(day));
}

export function photosOf(day) {
  return read("photos", (store) => store.index("day").getAll(day));
}

export function waiting(name) {
  return read(name, (store) => store.index("outcome").getAll(WAITING));
}

export async function noteOf(name) {
  return (await read("notes", (store) => store.get(name)))?.value;
}

/** The values of the notes whose name begins so. */
export async function drafts(start) {
  const found = await read("notes", (store) => store.getAll(IDBKeyRange.bound(start, `${start}\uffff`)));
  return found.map((note) => note.value);
}

export function keepNote(name, value) {
  return change(["notes"], (transaction) => {
    transaction.objectStore("notes").put({ name, value });
  });
}

/** Keep the day as it was fetched; a state that a later answer brought meanwhile stays. Resolves to what is kept. */
export async function keepDay(day) {
  let kept = day;
  await change(["days"], async (transaction) => {
    const days = transaction.objectStore("days");
    const known = await answer(days.get(day.key));
    if (known && Date.parse(known.state.server_at) > Date.parse(day.state.server_at)) {
      kept = { ...day, state: known.state };
    }
    days.put(kept);
  });
  return kept;
}

/** Keep an entry that a person has made, and drop the draft that it was made of. */
export function keepEntry(entry, draft = null) {
  return change(["entries", "notes"], (transaction) => {
    transaction.objectStore("entries").add(entry);
    if (draft) {
      transaction.objectStore("notes").delete(draft);
    }
  });
}

export function keepPhoto(photo) {
  return change(["photos"], (transaction) => {
    transaction.objectStore("photos").put(photo);
  });
}

/** What the server said of entries, and the state of the day that holds them, at once or not at all. */
export function keepAnswers(day, answers, reachedAt) {
  return change(["entries", "days"], async (transaction) => {
    const entries = transaction.objectStore("entries");
    for (const said of answers) {
      const entry = await answer(entries.get(said.id));
      if (entry) {
        const { outcome, code = "", sentence = "" } = said;
        const data = PRIVATE.has(entry.kind) && outcome !== "refused" ? {} : entry.data; // the server has it now
        entries.put({ ...entry, data, outcome, code, sentence, reached_at: reachedAt });
      }
    }
    transaction.objectStore("days").put(day);
  });
}

/** Counters of stems that were not written down yet: they are nobody's entries, but somebody's work. */
async function draftsIn(name) {
  const notes = await read("notes", (store) => store.getAll());
  return notes.filter((note) => note.name.startsWith(name) && note.name.includes(":stems:") && note.value > 0).length;
}

/** Take a day with all that reached the server off this phone; what waits stays. Answers how many entries wait. */
export async function forgetDay(key) {
  const kept = [...(await entriesOf(key)), ...(await photosOf(key))];
  const waits = kept.filter((one) => one.outcome === WAITING).length + (await draftsIn(`${key}:`));
  await change(["days", "entries", "photos", "notes"], async (transaction) => {
    for (const name of ["entries", "photos"]) {
      const store = transaction.objectStore(name);
      for (const one of await answer(store.index("day").getAll(key))) {
        if (one.outcome !== WAITING) {
          store.delete(one.id);
        }
      }
    }
    if (waits === 0) {
      transaction.objectStore("days").delete(key);
      transaction.objectStore("notes").delete(IDBKeyRange.bound(`${key}:`, `${key}:\uffff`));
    }
  });
  return waits;
}

/** Everything that waits, of all days: what a sign-out would leave behind. */
export async function countWaiting() {
  return (await waiting("entries")).length + (await waiting("photos")).length + (await draftsIn(""));
}
