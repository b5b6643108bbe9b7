// The map: how much room the shot has from every place of the cue ball.

import { element } from "./svg.js";
import { inTen, placeWords, said } from "./words.js";

/** cividis, the ten colours of its table (Nuñez, Anderton & Renslow 2018): even in grey and for everybody. */
const CIVIDIS = ["#00204d", "#00336f", "#39486b", "#575c6d", "#707173", "#8a8779", "#a69d75", "#c4b56c", "#e4cf5b", "#ffea46"]
  .map((hex) => [1, 3, 5].map((k) => parseInt(hex.slice(k, k + 2), 16)));

function colour(share) {
  const at = Math.min(Math.max(share, 0), 1) * (CIVIDIS.length - 1);
  const k = Math.min(Math.floor(at), CIVIDIS.length - 2);
  return CIVIDIS[k].map((v, c) => Math.round(v + (CIVIDIS[k + 1][c] - v) * (at - k)));
}

/** A line of hatching every so many places. */
const HATCH = 3;

const degrees = (v) => `${v < 1 ? v.toFixed(2) : v.toFixed(1)}°`;

/** All values there are, the least first. */
function sorted(values) {
  const all = new Float64Array(values.length * (values[0]?.length ?? 0));
  let count = 0;
  for (const row of values) for (const value of row) if (value != null) all[count++] = value;
  return all.subarray(0, count).sort();
}

/** Colours from the least to the most, so many that no eye tells two that follow each other. */
const STEPS = 1024;
const COLOURS = Array.from({ length: STEPS + 1 }, (_, k) => colour(k / STEPS));

/** What the colours run over: all of 0 to 1 for a chance, up to a high value for room. */
function range(all, chance) {
  if (chance) return [0, 1];
  return [0, all.length ? all[Math.floor(0.97 * (all.length - 1))] : 1];
}

/** Paints the map into its layer and its legend; the rows come from the right rail upwards. */
export function drawMap(layer, legend, map) {
  layer.replaceChildren();
  const values = map?.chance ?? map?.direct_deg;
  legend.box.hidden = !map;
  layer.parentNode.classList.toggle("with-map", Boolean(map));
  if (!map) return;
  const all = sorted(values);
  const [low, high] = range(all, map.chance);
  const canvas = document.createElement("canvas");
  canvas.width = map.columns;
  canvas.height = map.rows;
  const paint = canvas.getContext("2d");
  const image = paint.createImageData(map.columns, map.rows);
  values.forEach((row, r) => row.forEach((value, c) => {
    if (value == null) return;
    const share = Math.min(Math.max((value - low) / (high - low), 0), 1);
    const [red, green, blue] = COLOURS[Math.round(STEPS * share)];
    const at = 4 * (r * map.columns + c);
    image.data[at] = red;
    image.data[at + 1] = green;
    image.data[at + 2] = blue;
    image.data[at + 3] = 255;
  }));
  paint.putImageData(image, 0, 0);
  const dx = (map.to_mm[0] - map.from_mm[0]) / (map.columns - 1);
  const dy = (map.to_mm[1] - map.from_mm[1]) / (map.rows - 1);
  const picture = element("image", {
    x: map.from_mm[0] - dx / 2, y: map.from_mm[1] - dy / 2, width: dx * map.columns, height: dy * map.rows,
    preserveAspectRatio: "none", href: canvas.toDataURL(),
  }, layer);
  picture.classList.add("places");
  hatch(layer, map, [dx, dy]);
  drawLegend(legend, map, { high, all });
}

/**
 * Hatches the places that are harder for how one has to stand: rising lines where the cue is raised
 * over the rail, falling ones where it takes the rest. Lines of neighbouring places join.
 */
function hatch(layer, map, [dx, dy]) {
  if (!map.awkward) return;
  const [left, low] = [map.from_mm[0] - dx / 2, map.from_mm[1] - dy / 2];
  const ways = { over: [], rest: [] };
  map.awkward.forEach((row, r) => [...row].forEach((kind, c) => {
    const [x, y] = [left + c * dx, low + r * dy];
    if ((kind === "r" || kind === "b") && (c - r + map.rows * HATCH) % HATCH === 0) ways.over.push(`M${x} ${y}l${dx} ${dy}`);
    if ((kind === "e" || kind === "b") && (c + r) % HATCH === 0) ways.rest.push(`M${x} ${y + dy}l${dx} ${-dy}`);
  }));
  for (const [name, lines] of Object.entries(ways)) {
    if (lines.length) element("path", { class: `hatch hatch-${name}`, d: lines.join("") }, layer);
  }
}

/** Hatching as in the map, for the legend. */
function swatch(way, standing) {
  // A table that stands is drawn mirrored: there the lines lean the other way.
  const rising = (way === "over") !== standing;
  const svg = element("svg", { class: "swatch hatched", viewBox: "0 0 24 12", "aria-hidden": "true" });
  const lines = [-6, 0, 6, 12, 18].map((x) => (rising ? `M${x} 12L${x + 12} 0` : `M${x} 0L${x + 12} 12`));
  element("path", { class: "hatch", d: lines.join("") }, svg);
  return svg;
}

/** Why there is no map. */
const NONE = {
  blocked: "No map: other balls close the object ball’s path to the pocket.",
  "no-drop": "No map: the ball stops short of the pocket; strike it harder.",
  "in-the-jaws": "No map: the ball is a hanger, and almost any hit drops it.",
};

/** What the map shows, for those who do not see colours: the best place, and what half of them give. */
function inWords(map, plan, all) {
  const values = map.chance ?? map.direct_deg;
  if (!all.length) return "";
  const value = all.at(-1);
  // Of several the last, as they are read.
  const r = values.findLastIndex((row) => row.includes(value));
  const c = values[r].lastIndexOf(value);
  const at = [[0, c, map.columns], [1, r, map.rows]].map(([k, n, of]) => map.from_mm[k] + (n * (map.to_mm[k] - map.from_mm[k])) / (of - 1));
  const much = (v) => (map.chance ? inTen(v) : degrees(v));
  return `Easiest with the cue ball ${placeWords(plan, at)}: ${much(value)}; half of all places give less than ${much(all[Math.floor(all.length / 2)])}.`;
}

/** What the colours mean, and what makes strips of them dark. */
function words(map, standing) {
  if (map.status !== "ok") return [NONE[map.status] ?? "No map: the object ball does not drop from here."];
  const { over_rail: rail, needs_rest: rest } = map.stance ?? {};
  const what = map.chance ? "how often it goes in" : "how much margin there is";
  const all = [`The colour at a place is ${what} with the cue ball there. Bare cloth: no shot.`];
  if (map.awkward && rail) all.push(" ", swatch("over", standing), " Hatched: along the rails the cue is raised over the rail.");
  if (map.awkward && rest) all.push(" ", swatch("rest", standing), " Hatched: far from all rails it takes the rest.");
  return all;
}

function drawLegend(legend, map, { high, all }) {
  // The colours are always the same.
  if (!legend.painted) {
    const paint = legend.bar.getContext("2d");
    for (let x = 0; x < legend.bar.width; x += 1) {
      paint.fillStyle = `rgb(${colour(x / (legend.bar.width - 1)).join(",")})`;
      paint.fillRect(x, 0, 1, legend.bar.height);
    }
    legend.painted = true;
  }
  legend.low.textContent = map.chance ? "0" : "0°, no margin";
  legend.high.textContent = said(map.chance ? "10 in 10" : `${degrees(high)} in all`);
  const told = map.status === "ok" ? [said(inWords(map, legend.table.plan, all)), " "] : [];
  legend.words.replaceChildren(...told, ...words(map, legend.table.standing));
}
