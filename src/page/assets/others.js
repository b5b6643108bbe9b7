// The other balls: adding, taking away, playing one, and their fields in the drawer.

import { calledBall, isOther, keys, labelOf, nameOf, otherKey, spokenName } from "./balls.js";
import { stepper } from "./drawer.js";
import { byDiamonds, typed } from "./measure.js";

/** `ball 7`, but `red 2`. */
const named = (name) => calledBall(name)[0].toLowerCase() + calledBall(name).slice(1);

const by = (id) => document.getElementById(id);

function button(text, label, pressed) {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = text;
  made.setAttribute("aria-label", label);
  made.addEventListener("click", pressed);
  return made;
}

export class Others {
  /** `on` has `add()`, `remove(key)`, `play(name)`, `select(key)`, `coordinate(key, axis, diamonds)`. */
  constructor(on) {
    this.on = on;
    this.names = null;
    by("add-ball").addEventListener("click", () => on.add());
    by("remove-ball").addEventListener("click", () => on.remove(by("remove-ball").dataset.key));
    by("play-ball").addEventListener("click", () => on.play(by("play-ball").dataset.name));
  }

  /** Shows which balls there are and which is chosen. */
  show(state, selected) {
    const names = state.balls.map((b) => b.name);
    const known = JSON.stringify([names, labelOf(state, "object"), byDiamonds()]);
    if (known !== this.names) {
      this.names = known;
      this.choices(state);
      this.fields(state);
    }
    for (const radio of document.querySelectorAll('input[name="moves"]')) radio.checked = radio.value === selected;
    for (const b of state.balls) {
      b.at.forEach((v, axis) => {
        const input = by(`ball-${b.name}-${axis}`);
        const value = String(typed(v, axis));
        if (document.activeElement !== input && input.value !== value) input.value = value;
      });
    }
    const other = isOther(selected);
    by("remove-ball").hidden = !other;
    by("play-ball").hidden = !other;
    if (!other) return;
    const name = nameOf(state, selected);
    Object.assign(by("remove-ball").dataset, { key: selected });
    by("remove-ball").textContent = `Remove ${named(name)}`;
    Object.assign(by("play-ball").dataset, { name });
    by("play-ball").textContent = `Play ${named(name)}`;
  }

  /** One choice a ball: what a tap on the table moves. */
  choices(state) {
    const order = ["cue", "object", ...keys(state).filter(isOther)];
    by("moves").querySelectorAll("label").forEach((l) => l.remove());
    for (const key of order) {
      const label = document.createElement("label");
      const radio = document.createElement("input");
      Object.assign(radio, { type: "radio", name: "moves", value: key });
      radio.addEventListener("change", () => this.on.select(key));
      const words = document.createElement("span");
      words.textContent = isOther(key) ? spokenName(nameOf(state, key)) : labelOf(state, key).toLowerCase();
      if (isOther(key)) radio.setAttribute("aria-label", labelOf(state, key));
      label.append(radio, words);
      by("moves").append(label);
    }
  }

  fields(state) {
    by("other-fields").replaceChildren(...state.balls.flatMap((b) => {
      const key = otherKey(b.name);
      const boxes = ["along", "across"].map((way, axis) => stepper(
        `ball-${b.name}-${axis}`, `${calledBall(b.name)}, ${way}`, axis, (v) => this.on.coordinate(key, axis, v),
      ).box);
      const row = document.createElement("div");
      row.className = "row";
      row.append(
        button("Play it", `Play ${named(b.name)}`, () => this.on.play(b.name)),
        button("Remove", `Remove ${named(b.name)} from the table`, () => this.on.remove(key)),
      );
      return [...boxes, row];
    }));
  }
}
