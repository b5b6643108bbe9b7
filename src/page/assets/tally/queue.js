// Tries on their way to the practice log. A try is kept in this browser until the program says that
// it is on the disk, over reloads and over a program that is away; sent twice, it is recorded once.
// What the program refuses is kept too, until somebody has seen it.

/** Tries that wait, `{tap, tried, back}`: `tried` may be in the log already, `back` is to go again. */
const WAITING = "tally-waiting";
/** Tries that are in the log, `{tap, entry}`, newest last. */
const DONE = "tally-done";
/** Tries taken back, `{tap}`, newest last. */
const BACK = "tally-back";
/** Tries the program refused, `{tap, words, back}`: `back` stays in the log, the others are not there. */
const REFUSED = "tally-refused";
/** Tries that may wait; and how far back one can go. */
export const MOST = 500;
/** Between attempts while the program is away, ms. */
const AGAIN = 2000;
/** Refusals that say nothing about the try: token, time, host, too many connections. */
const NOT_THE_TRY = [401, 408, 421, 429];

function load(key) {
  try {
    const list = JSON.parse(localStorage.getItem(key) ?? "[]");
    return Array.isArray(list) ? list : [];
  } catch {
    return [];
  }
}

const same = (a, b) => a.when === b.when && a.student === b.student;

/** What this phone takes its own tries back by: the program is told, nobody else. */
function phone() {
  let own = localStorage.getItem("phone");
  if (!own) {
    own = [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");
    localStorage.setItem("phone", own);
  }
  return own;
}

export class Queue {
  /** `ask` sends; `on.changed()` after anything, `on.sent(tap)` when one is in the log, `on.back(tap)`
   * when one is not any more, `on.emptied()` when all that waited has gone. */
  constructor(ask, on) {
    this.ask = (path, body) => ask(path, { ...body, phone: phone() });
    this.on = on;
    this.away = "";
    this.sending = null;
  }

  get waiting() { return load(WAITING); }

  get done() { return load(DONE); }

  get refused() { return load(REFUSED); }

  get full() { return this.waiting.length >= MOST; }

  /** Read, changed and written in one go: another tab may have written since. What waits or was
   * refused is never shortened. */
  change(key, work) {
    const list = load(key);
    const result = work(list);
    const kept = key === DONE || key === BACK ? list.slice(-MOST) : list;
    localStorage.setItem(key, JSON.stringify(kept));
    return result;
  }

  /** Keeps a try and sends it; throws where there is no room to keep it. */
  add(tap) {
    if (this.full) {
      throw new Error(`${tap.student}’s try is not counted: ${MOST} tries wait on this phone already, as many as it can keep. Bring it back to the network first.`);
    }
    try {
      this.change(WAITING, (list) => list.push({ tap }));
    } catch {
      throw new Error(`${tap.student}’s try is not counted: this browser gives no room to keep it. Free some, or leave private browsing.`);
    }
    this.on.changed();
    return this.send();
  }

  /** Sends what waits, oldest first, one at a time; only ever one run of this at once. */
  send() {
    this.sending ??= this.run().finally(() => { this.sending = null; });
    return this.sending;
  }

  async run() {
    clearTimeout(this.timer);
    for (let next = this.waiting[0]; next; next = this.waiting[0]) {
      let entry = null;
      try {
        entry = await this.settle(next);
      } catch (error) {
        const refused = error.status >= 400 && error.status < 500 && !NOT_THE_TRY.includes(error.status);
        if (!refused) {
          this.away = error.message;
          this.on.changed();
          this.timer = setTimeout(() => this.send(), AGAIN);
          return;
        }
        // Refused for what is in it: sending again would not help.
        this.change(REFUSED, (list) => list.push({ tap: next.tap, words: error.message, back: error.back }));
      }
      this.away = "";
      this.change(WAITING, (list) => {
        const k = list.findIndex((w) => same(w.tap, next.tap));
        if (k >= 0) list.splice(k, 1);
      });
      if (entry != null) {
        this.change(DONE, (list) => list.push({ tap: next.tap, entry }));
        this.on.sent(next.tap);
      }
      this.on.changed();
    }
    this.on.emptied();
  }

  /** One try into the log, or out of it again; the number of its entry when it is there. */
  async settle({ tap, tried, back }) {
    if (back && !tried) return null;
    this.change(WAITING, (list) => {
      const own = list.find((w) => same(w.tap, tap));
      if (own) own.tried = true;
    });
    const { entry } = await this.ask("tap", tap);
    if (!this.waiting.find((w) => same(w.tap, tap))?.back) return entry;
    try {
      await this.ask("untap", { entry });
    } catch (error) {
      error.back = true;
      throw error;
    }
    return null;
  }

  /** Tries of a tally that count but may not be in the log yet. */
  pending(mine) {
    return this.waiting.filter((w) => !w.back && mine(w.tap)).map((w) => w.tap);
  }

  /** The last try that belongs to this tally. */
  last(mine) {
    return this.pending(mine).at(-1) ?? this.done.findLast((d) => mine(d.tap))?.tap ?? null;
  }

  /** The try of this tally that was taken back last. */
  takenBack(mine) {
    return load(BACK).findLast((b) => mine(b.tap))?.tap ?? null;
  }

  /** Takes the last one back: out of what waits, or out of the log. */
  async undo(mine) {
    const withdrawn = this.change(WAITING, (list) => {
      const last = list.findLast((w) => !w.back && mine(w.tap));
      if (last) last.back = true;
      return last?.tap;
    });
    if (withdrawn) {
      this.change(BACK, (list) => list.push({ tap: withdrawn }));
      this.on.changed();
      await this.send();
      return;
    }
    const last = this.done.findLast((d) => mine(d.tap));
    if (!last) return;
    await this.ask("untap", { entry: last.entry });
    this.change(DONE, (list) => list.splice(list.findLastIndex((d) => d.entry === last.entry), 1));
    this.change(BACK, (list) => list.push({ tap: last.tap }));
    this.on.back(last.tap);
    this.on.changed();
  }

  /** What was taken back of this tally is not to be put back any more. */
  leaveBack(mine) {
    this.change(BACK, (list) => list.splice(0, list.length, ...list.filter((b) => !mine(b.tap))));
  }

  /** Puts back what was taken back last: the same try at the same time. */
  async redo(mine) {
    const tap = this.takenBack(mine);
    if (!tap) return;
    const waits = this.change(WAITING, (list) => {
      const own = list.find((w) => same(w.tap, tap));
      if (own) delete own.back;
      return Boolean(own);
    });
    const sending = waits ? this.send() : this.add(tap);
    this.change(BACK, (list) => list.splice(list.findLastIndex((b) => same(b.tap, tap)), 1));
    this.on.changed();
    await sending;
  }

  /** Somebody has seen what was refused. */
  seen() {
    localStorage.removeItem(REFUSED);
    this.on.changed();
  }
}
