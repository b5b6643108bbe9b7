// The drawer: every value of the shot as a field, each with its unit and a way back.

import { able, isAble, make, say } from "./dom.js";
import { millimetre, most, read, step as stepOf, typed } from "./measure.js";

const BALL_FIELDS = [
  ["cue", 0, "Cue ball, along"], ["cue", 1, "Cue ball, across"],
  ["object", 0, "Object ball, along"], ["object", 1, "Object ball, across"],
];

/** Fields of the stroke: key, label, hint. */
const STROKE = [
  ["pace", "Speed at the pocket", "with a unit, such as 1m/s or 3ft/s"],
  ["roll", "Roll at contact", "1 rolling, 0 stun, negative draw; replaces the hit"],
  ["side", "Side spin", "outside positive; 0.5 is much"],
  ["bridge", "Bridge", "such as 10in, for the error at the tip"],
];
const PLAYER = [
  ["arm", "Stroke", "spread of the direction, such as 0.25deg"],
  ["picture", "Sighting", "spread at the ghost ball, such as 2mm"],
  ["reach", "Reach", "rail’s outer edge to the farthest cue ball without a rest, such as 1m"],
];
/** Values of the equipment that people change: key and label. */
const GEAR = [
  ["pocket.corner.mouth", "Corner mouth"], ["pocket.side.mouth", "Side mouth"],
  ["pocket.corner.shelf", "Corner shelf"], ["pocket.corner.jaw_radius", "Corner jaw rounding"],
  ["pocket.corner.facing_restitution", "Bounce of corner jaws"],
  ["ball.object_diameter", "Object ball"], ["ball.cue_diameter", "Cue ball"],
  ["ball.contact.friction_scale", "Ball condition: 1 usual, less polished, more dirty"],
  ["cloth.sliding_friction", "Cloth, sliding"], ["cloth.rolling_friction", "Cloth, rolling"],
  ["cushion.restitution", "Bounce of cushions"],
];

/** A text field with hint and reset; `changed(value)` gets "" for the way back. */
function field(id, label, hint, changed) {
  const box = make("div", { class: "set" });
  const input = make("input", { type: "text", id, "aria-describedby": `${id}-hint`, spellcheck: "false" });
  const back = make("button", { type: "button", "aria-label": `Reset ${label}` }, "Reset");
  input.addEventListener("change", () => changed(input.value.trim()));
  back.addEventListener("click", () => { if (isAble(back)) changed(""); });
  box.append(make("label", { for: id }, label), input, back, make("small", { id: `${id}-hint` }, hint));
  return { box, input, back, hint: box.lastChild };
}

/** A coordinate along (0) or across (1), with steps of an eighth of a diamond, or of a centimetre where
 * there are none, and of a millimetre; `changed` gets diamonds. */
export function stepper(id, label, axis, changed) {
  const box = make("div", { class: "step" });
  const input = make("input", { type: "number", id, min: 0, max: most(axis), step: "any", inputmode: "decimal" });
  const by = (sign) => () => changed(read(Number(input.value) + sign * stepOf(), axis));
  const step = (way, text, name, uk = text) => {
    const made = make("button", { type: "button", "aria-label": `${label}, ${name}`, "data-uk": uk }, text);
    made.addEventListener("click", way);
    return made;
  };
  const fine = (sign) => () => changed(read(Number(input.value) + sign * millimetre(axis), axis));
  input.addEventListener("change", () => {
    if (input.value !== "" && Number.isFinite(Number(input.value))) changed(read(Number(input.value), axis));
  });
  box.append(make("label", { for: id }, label),
    step(by(-1), "−⅛", "less", "−1 cm"), step(fine(-1), "−1 mm", "1 mm less"), input,
    step(fine(1), "+1 mm", "1 mm more"), step(by(1), "+⅛", "more", "+1 cm"));
  return { box, input };
}

/** A line such as "1.5625in (published: …)" cut to what fits. */
const short = (text) => (text && text.length > 90 ? `${text.slice(0, 88)}…` : text ?? "");

export class Drawer {
  /** `on` has `coordinate(ball, axis, diamonds)`, `option(key, value)`, `change(key, value)` and `opened()`. */
  constructor(on) {
    this.on = on;
    const by = (id) => document.getElementById(id);
    this.box = by("drawer");
    this.opener = by("open-drawer");
    this.balls = BALL_FIELDS.map(([ball, axis, label]) => {
      const made = stepper(`${ball}-${axis}`, label, axis, (v) => on.coordinate(ball, axis, v));
      by("ball-fields").append(made.box);
      return { ...made, ball, axis };
    });
    const plain = (host, list) => list.map(([key, label, hint]) => {
      const made = field(key === "pace" ? "pace-exact" : `field-${key}`, label, hint, (v) => on.option(key, v));
      by(host).append(made.box);
      return { ...made, key };
    });
    this.options = [...plain("stroke-fields", STROKE), ...plain("player-fields", PLAYER)];
    this.gear = GEAR.map(([key, label]) => {
      const made = field(`gear-${key.replaceAll(/[._]/g, "-")}`, label, "", (v) => on.change(key, v));
      by("gear-fields").append(made.box);
      return { ...made, key };
    });
    this.opener.addEventListener("click", () => this.open(this.box.hidden));
    by("close-drawer").addEventListener("click", () => this.open(false));
    this.box.addEventListener("keydown", (event) => {
      if (event.key === "Escape") this.open(false);
    });
  }

  open(wanted) {
    this.box.hidden = !wanted;
    this.opener.setAttribute("aria-expanded", String(wanted));
    this.on.opened();
    if (wanted) {
      // The words above the fields, not the middle of them.
      document.getElementById("close-drawer").focus({ preventScroll: true });
      this.box.scrollIntoView({ block: "start" });
    } else this.opener.focus();
  }

  /** Shows the state; a field being typed in is left alone. */
  show(state, gear, placeholders) {
    const set = (input, value) => {
      if ((document.activeElement !== input || input.dataset.shown === input.value) && input.value !== value) input.value = value;
      if (input.dataset.shown !== input.value) input.dataset.shown = input.value;
    };
    for (const { input, ball, axis } of this.balls) {
      if (input.max !== String(most(axis))) input.max = most(axis);
      set(input, String(typed(state[ball][axis], axis)));
    }
    for (const { input, back, key } of this.options) {
      if (input.placeholder !== (placeholders[key] ?? "")) input.placeholder = placeholders[key] ?? "";
      set(input, state[key] ?? "");
      able(back, Boolean(state[key]));
    }
    for (const { input, back, hint, key } of this.gear) {
      const row = gear.values.find((v) => v.key === key);
      set(input, state.set[key] ?? row?.value ?? "");
      able(back, key in state.set);
      say(hint, key in state.set ? "changed here" : short(row?.source));
    }
  }
}
