// What is shown of an answer: the number on top, how it differs from the one before, the lines
// below it, the picture and the two close-ups.

import { otherKey } from "./balls.js";
import { because } from "./because.js";
import { change } from "./change.js";
import { make, say } from "./dom.js";
import { ghostView, pocketView } from "./inset.js";
import { drawBefore, drawShot } from "./shot.js";
import { said } from "./words.js";

const by = (id) => document.getElementById(id);

/** Its parts in one go. */
export const sentence = ({ who, number, words }) => [who, number].filter(Boolean).join(" ") + (words && (who ? `, ${words}` : ` ${words}`));

/** Words of so many letters have a line of their own. */
const ASIDE = 16;

/** A text whose days stay in one piece. */
const wholeDays = (text) => text.split(/(\d{4}-\d\d-\d\d)/).map((part, k) => (k % 2 ? make("span", { class: "whole" }, part) : part));

/** Where this tab keeps what was pinned. */
const PINNED = "pinned";

/** Read out when the hand has been still for so long, ms. */
const STILL = 600;

export class Answer {
  constructor(table) {
    this.table = table;
    /** The newest answer. */
    this.now = null;
    /** The one before the present move. */
    this.before = null;
    /** The one that was pinned to compare with. */
    this.pinned = null;
    for (const id of ["at-ghost", "at-pocket"]) new ResizeObserver(() => this.closeUps()).observe(by(id));
  }

  /** What was pinned before a reload of this tab. */
  pinAgain() {
    try {
      this.pinned = JSON.parse(sessionStorage.getItem(PINNED));
    } catch {
      this.pinned = null;
    }
    return Boolean(this.pinned);
  }

  /** In one sentence. */
  get text() {
    return this.now ? sentence(this.now.headline) : "";
  }

  /** Why there is no shot, in words; empty where there is one. */
  get noShot() {
    if (!this.now || this.now.shot.drop) return "";
    return `${this.now.headline.number}: ${this.now.headline.words}.`;
  }

  show() {
    const { now } = this;
    if (!now) return;
    say(by("who"), now.headline.who);
    say(by("number"), now.headline.number);
    if (by("words").textContent !== now.headline.words) by("words").replaceChildren(...wholeDays(now.headline.words));
    by("headline").classList.toggle("told", now.headline.words.length > ASIDE);
    this.showChange();
    by("number").classList.toggle("in-words", now.headline.number.length > 20);
    by("headline").classList.toggle("long", !now.headline.who);
    by("headline").classList.toggle("none", !now.shot.drop);
    say(by("room"), now.shot.drop ? said(now.lines[0]) : "");
    const hard = now.chance ? [now.chance] : [];
    this.showLines(hard.concat(now.lines.slice(1)).map((line) => said(this.counted(line))));
    say(by("around"), said(now.around.join(" ")));
    by("around").classList.toggle("careful", now.cue?.end === "scratch");
    this.showPinned();
    this.table.mark(now.others.blockers.map(otherKey));
    drawShot(this.table.shotLayer, now.drawing, now.cue);
    drawBefore(this.table.wasLayer, (this.pinned ?? this.before)?.drawing);
    this.closeUps();
  }

  /** A line each; those that stay as they are stay. */
  showLines(lines) {
    const list = by("lines");
    while (list.childElementCount > lines.length) list.lastElementChild.remove();
    lines.forEach((line, k) => {
      if (list.children[k]) say(list.children[k], line);
      else list.append(make("li", {}, line));
    });
  }

  /** Room in all, with which room it is. */
  counted(line) {
    const how = { clean: "clean", direct: "jaws counted", drop: "jaws and rail counted" }[this.now.shot.first_order?.of];
    return how ? line.replace(" of aim in all.", ` of aim in all, ${how}.`) : line;
  }

  /** One line that is always there, so that nothing below it moves. */
  showChange() {
    const differs = this.differs();
    by("was").dataset.way = differs?.way ?? "none";
    const none = this.pinned ? "Held as “before”. Move a ball to compare." : "Drag a ball: how much harder is it?";
    by("was").replaceChildren(...(differs
      ? [make("b", {}, said(differs.word)), differs.more ? `: ${said(differs.more)}` : ""]
      : [none]));
    const why = differs ? because(this.pinned ?? this.before, this.now, differs.way) : "";
    say(by("because"), said(why && `because ${why}`));
  }

  /** How the answer differs from what it is held against; `null` where that is itself. */
  differs() {
    const against = this.pinned ?? this.before;
    return this.now && against !== this.now ? change(against, this.now) : null;
  }

  /** Holds what was there before the last move beside what is there now; before any move, what is there. */
  pin() {
    this.pinned = this.pinned ? null : this.before ?? this.now;
    try {
      sessionStorage.setItem(PINNED, JSON.stringify(this.pinned));
    } catch {
      // No room: then it is gone with a reload.
    }
    this.show();
    this.tellSoon();
  }

  showPinned() {
    by("before").hidden = !this.pinned;
    if (!this.pinned) return;
    by("before-number").textContent = this.pinned.headline.number;
    by("before-who").textContent = this.pinned.headline.who;
    by("before-words").textContent = this.pinned.headline.words;
    by("before-room").textContent = this.pinned.shot.drop ? said(this.pinned.lines[0]) : "";
  }

  /** The close-ups of what there is: none of a contact that cannot be, or of a closed pocket. */
  closeUps() {
    if (!this.now) return;
    const { drawing } = this.now;
    by("at-ghost").parentNode.hidden = !drawing.ghost;
    by("at-pocket").parentNode.hidden = !drawing.fans.length;
    this.shown?.();
    ghostView(by("at-ghost"), by("ghost-caption"), this.table, this.now);
    pocketView(by("at-pocket"), by("pocket-caption"), this.table, this.now);
  }

  /** Read out once the hand is still. */
  tellSoon() {
    clearTimeout(this.telling);
    this.telling = setTimeout(() => {
      const differs = this.differs();
      const why = by("because").textContent;
      const more = differs ? `, ${differs.word}, ${differs.more.replace("→", "to")}${why && ` ${why}`}` : "";
      by("live").textContent = by("fault").hidden && this.now ? this.text + more : "";
    }, STILL);
  }
}
