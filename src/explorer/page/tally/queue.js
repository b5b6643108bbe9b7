// Tries on their way to the practice log. A try is kept in this browser until the program says that
// it is on the disk, over reloads and over a program that is away; sent twice, it is recorded once.

/** Tries that wait, `{tap, tried, back}`: `tried` may be in the log already, `back` is to go again. */
const WAITING = "tally-waiting";
/** Tries that are in the log, `{tap, entry}`, newest last. */
const DONE = "tally-done";
const MOST_DONE = 500;
/** Between attempts while the program is away, ms. */
const AGAIN = 2000;
/** Refusals that say nothing about the try: token, time, host. */
const NOT_THE_TRY = [401, 408, 421];

function load(key) {
  try {
    const list = JSON.parse(localStorage.getItem(key) ?? "[]");
    return Array.isArray(list) ? list : [];
  } catch {
    return [];
  }
}

const same = (a, b) => a.when === b.when && a.student === b.student;

export class Queue {
  /** `ask` sends; `on.changed()` after anything, `on.refused(tap, words)` when the program says no. */
  constructor(ask, on) {
    this.ask = ask;
    this.on = on;
    this.away = "";
    this.sending = null;
  }

  get waiting() { return load(WAITING); }

  get done() { return load(DONE); }

  /** Read, changed and written in one go: another tab may have written since. */
  change(key, work) {
    const list = load(key);
    const result = work(list);
    localStorage.setItem(key, JSON.stringify(list.slice(-MOST_DONE)));
    return result;
  }

  add(tap) {
    this.change(WAITING, (list) => list.push({ tap }));
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
      try {
        await this.settle(next);
      } catch (error) {
        const refused = error.status >= 400 && error.status < 500 && !NOT_THE_TRY.includes(error.status);
        if (!refused) {
          this.away = error.message;
          this.on.changed();
          this.timer = setTimeout(() => this.send(), AGAIN);
          return;
        }
        // Refused for what is in it: sending again would not help.
        this.on.refused(next.tap, error.message);
      }
      this.away = "";
      this.change(WAITING, (list) => {
        const k = list.findIndex((w) => same(w.tap, next.tap));
        if (k >= 0) list.splice(k, 1);
      });
      this.on.changed();
    }
  }

  /** One try into the log, or out of it again. */
  async settle({ tap, tried, back }) {
    if (back && !tried) return;
    this.change(WAITING, (list) => {
      const own = list.find((w) => same(w.tap, tap));
      if (own) own.tried = true;
    });
    const { entry } = await this.ask("tap", tap);
    const withdrawn = this.waiting.find((w) => same(w.tap, tap))?.back;
    if (withdrawn) await this.ask("untap", { entry });
    else this.change(DONE, (list) => list.push({ tap, entry }));
  }

  /** Tries of a tally that count but may not be in the log yet. */
  pending(mine) {
    return this.waiting.filter((w) => !w.back && mine(w.tap)).map((w) => w.tap);
  }

  /** The last try that belongs to this tally. */
  last(mine) {
    return this.pending(mine).at(-1) ?? this.done.findLast((d) => mine(d.tap))?.tap ?? null;
  }

  /** Takes the last one back: out of what waits, or out of the log. */
  async undo(mine) {
    const withdrawn = this.change(WAITING, (list) => {
      const last = list.findLast((w) => !w.back && mine(w.tap));
      if (last) last.back = true;
      return Boolean(last);
    });
    if (withdrawn) {
      this.on.changed();
      await this.send();
      return;
    }
    const last = this.done.findLast((d) => mine(d.tap));
    if (!last) return;
    await this.ask("untap", { entry: last.entry });
    this.change(DONE, (list) => list.splice(list.findLastIndex((d) => d.entry === last.entry), 1));
    this.on.changed();
  }
}
