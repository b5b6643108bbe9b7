// Which game is played, and how it stands as far as the balls do not tell.

import { choice, field } from "./dom.js";

const by = (id) => document.getElementById(id);

/** Choices of a game's state: key, label, entries; the first entry is what goes without saying. */
const STATES = {
  "8-ball": [["group", "Whose balls", [["", "the table is open"], ["solids", "solids"], ["stripes", "stripes"]]]],
  english: [
    ["rules", "Rules", [["international", "International"], ["world", "World"], ["blackball", "Blackball"]]],
    ["group", "Whose balls", [["", "the table is open"], ["reds", "reds"], ["yellows", "yellows"]]],
  ],
  snooker: [["on", "Ball on", [["", "a red, or the colours in order"], ["colour", "a colour"],
    ...["yellow", "green", "brown", "blue", "pink", "black"].map((c) => [c, `the ${c}`])]]],
};

export const gameOf = (gear, state) => gear.games.find((g) => g.name === state.game) ?? null;

export class GamePicker {
  /** `on` has `play(name)` and `state(key, value)`. */
  constructor(on) {
    this.on = on;
    this.shown = null;
    by("game").addEventListener("change", ({ target }) => on.play(target.value));
  }

  show(state, gear) {
    const entries = [["", "none: free play"], ...gear.games.map((g) => [g.name, g.spoken])];
    if (by("game").options.length !== entries.length) by("game").replaceChildren(...entries.map(([value, words]) => new Option(words, value)));
    by("game").value = gameOf(gear, state)?.name ?? "";
    const states = STATES[state.game] ?? [];
    if (this.shown !== state.game) {
      this.shown = state.game;
      by("game-state").replaceChildren(...states.map(([key, label, choices]) => {
        const pick = choice(choices, "", { id: `game-${key}` });
        pick.addEventListener("change", () => this.on.state(key, pick.value));
        return field(label, pick);
      }));
    }
    by("game-state").hidden = !states.length;
    for (const [key] of states) by(`game-${key}`).value = state[key] ?? "";
  }
}
