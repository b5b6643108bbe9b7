// Which shot to play: every ball into every pocket, best first; a direct one can be put on. What one stroke
// gives is there at once; the strokes, what follows and safeties come when they are found.

import { ask, givenUp } from "../api.js";
import { layoutText } from "../balls.js";
import { button, make } from "../dom.js";
import { gameBody } from "../state.js";
import { said as inWords, withArticle } from "../words.js";

/** Shots shown at first. */
const FIRST = 5;
/** What the shot is asked with that goes for all shots of the table alike. */
const FOR_ALL = ["level", "student", "arm", "picture", "pace", "roll", "hit", "side", "bridge", "hand", "reach", "seated", "table", "set"];
/** Of these what says the stroke. */
const STROKE = ["pace", "roll", "hit", "side"];

export const shots = {
  name: "shots",
  live: true,
  title: "Which shot to play",
  open(host, page, work) {
    const head = make("p", { class: "finding", id: "shots-headline" });
    const state = make("p", { id: "shots-state" });
    const safe = make("p", { id: "shots-safe" });
    const list = make("ol", { class: "ranked" });
    const whyNot = make("p", { class: "quiet", id: "shots-why-not" });
    const more = button("", () => {
      all = !all;
      fill();
    });
    let answer = null;
    let all = false;
    /** The first answer stands, and the long one is under way. */
    let looking = false;
    let turns = 0;
    more.hidden = true;
    host.append(state, head, safe, list, whyNot, make("p", { class: "row" }, more));

    /** A ball that stands alone has no number on it. */
    function named(text) {
      if (page.state().balls.length) return text;
      const name = page.objectName().replace(/[\\^$.*+?()[\]{}|/]/g, "\\$&");
      return text.replace(new RegExp(`\\bthe ${name}(?![\\p{L}\\p{N}]|[.,]\\d)`, "gu"), "the ball");
    }

    function item(shot, told) {
      const said = Object.fromEntries(Object.entries(told).map(([key, text]) => [key, text && named(text)]));
      said.why = said.why.replace("of margin in all at the ghost ball", "$&, jaws and rails counted");
      const chosen = shot.family === "direct" && shot.pocket === page.state().pocket && shot.ball === page.objectName();
      const title = shot.family === "direct"
        ? button(inWords(said.called), () => work(async () => page.play(shot)), { class: "shot-title", "aria-current": String(chosen) })
        : make("b", { class: "shot-title" }, inWords(said.called));
      const line = (label, text) => (text ? make("p", {}, make("span", { class: "quiet" }, `${label}: `), inWords(`${text}.`)) : "");
      const direct = shot.family === "direct";
      // The range on a line of its own: beside the title there is no room for it on a phone.
      const [chance, range] = said.chance.split(/ \((.*)\)$/);
      const card = make("li", { class: [direct && "puts-on", chosen && "chosen-shot"].filter(Boolean).join(" ") },
        make("p", { class: "shot-top" }, make("b", { class: "shot-chance" }, chance), title),
        range ? make("p", { class: "shot-range quiet" }, inWords(range)) : "",
        line("By the rules", said.rule),
        line("Why", said.why), line("Then", said.then), line("A miss", said.miss),
        direct ? make("p", { class: "put-on" }, chosen ? "This one is on the table" : "Tap to put it on the table") : "");
      // The whole card, for a finger; its title is the button for the keys.
      if (direct && !chosen) {
        card.addEventListener("click", (event) => {
          const marking = String(getSelection()).length > 0;
          if (!marking && !event.target.closest("button")) title.click();
        });
      }
      return card;
    }

    function fill() {
      const { choice, said } = answer;
      state.textContent = answer.state ?? "";
      state.hidden = !answer.state;
      // Fouls come last, and nobody chooses among them: they are no shots to count, and shown with all.
      const legal = choice.shots.filter((s) => !s.ruling?.foul).length || said.length;
      const count = all ? said.length : Math.min(FIRST, legal);
      list.replaceChildren(...choice.shots.slice(0, count).map((shot, k) => item(shot, said[k])));
      const bad = choice.least_bad;
      head.textContent = choice.no_shot
        ? `No shot worth trying here.${bad ? named(` The easiest legal hit is the ${bad.ball}: play it safe.`) : ""}`
        : `${legal === 1 ? "One shot" : `${legal} shots`} for ${withArticle(choice.player)}, best first.${list.querySelector(".puts-on:not(.chosen-shot)") ? " Tap a marked one to put it on the table." : ""}${looking ? " Still looking at strokes and safeties…" : ""}`;
      for (const [line, text] of [[safe, answer.safe], [whyNot, answer.why_not]]) {
        line.textContent = text ? inWords(named(text)) : "";
        line.hidden = !text;
      }
      more.hidden = said.length <= Math.min(FIRST, legal);
      more.textContent = all ? `Only the best ${Math.min(FIRST, legal)}` : `All ${said.length} shots${legal < said.length ? ", fouls last" : ""}`;
    }

    /** The long question under way. */
    let long = null;

    async function refresh() {
      const given = page.body();
      const body = { ...Object.fromEntries(FOR_ALL.filter((key) => key in given).map((key) => [key, given[key]])), ...gameBody(page.state()) };
      const layout = layoutText(page.state());
      const turn = ++turns;
      const show = (found) => {
        if (turn !== turns) return;
        answer = found;
        fill();
      };
      looking = !page.moving();
      show(await ask("choose", { ...body, layout, direct_only: true }));
      // That takes longer than a step of a hand: it waits until the hand is still.
      if (turn !== turns || page.moving()) return;
      // The stroke is what is looked for.
      for (const key of STROKE) delete body[key];
      long = new AbortController();
      try {
        const found = await ask("advice", { ...body, layout }, long.signal);
        looking = false;
        show(found);
      } catch (error) {
        // Something has moved: it is about another table now.
        if (!givenUp(error)) throw error;
      }
    }
    refresh.giveUp = () => long?.abort();
    return refresh;
  },
};
