// The map: how much room the shot has from every place of the cue ball.

import { element } from "./svg.js";
import { inTen, said } from "./words.js";

/** cividis, the ten colours of its table (Nuñez, Anderton & Renslow 2018): even in grey and for everybody. */
const CIVIDIS = ["#00204d", "#00336f", "#39486b", "#575c6d", "#707173", "#8a8779", "#a69d75", "#c4b56c", "#e4cf5b", "#ffea46"]
  .map((hex) => [1, 3, 5].map((k) => parseInt(hex.slice(k, k + 2), 16)));

function colour(share) {
  const at = Math.min(Math.max(share, 0), 1) * (CIVIDIS.length - 1);
  const k = Math.min(Math.floor(at), CIVIDIS.length - 2);
  return CIVIDIS[k].map((v, c) => Math.round(v + (CIVIDIS[k + 1][c] - v) * (at - k)));
}

const degrees = (v) => `${v < 1 ? v.toFixed(2) : v.toFixed(1)}°`;

/** What the colours run over: all of 0 to 1 for a chance, up to a high value for room. */
function range(values, chance) {
  if (chance) return [0, 1];
  const sorted = values.flat().filter((v) => v != null).sort((a, b) => a - b);
  return [0, sorted.length ? sorted[Math.floor(0.97 * (sorted.length - 1))] : 1];
}

/** Paints the map into its layer and its legend; the rows come from the right rail upwards. */
export function drawMap(layer, legend, map) {
  layer.replaceChildren();
  const values = map?.chance ?? map?.direct_deg;
  legend.box.hidden = !map;
  layer.parentNode.classList.toggle("with-map", Boolean(map));
  if (!map) return;
  const [low, high] = range(values, map.chance);
  const canvas = document.createElement("canvas");
  canvas.width = map.columns;
  canvas.height = map.rows;
  const paint = canvas.getContext("2d");
  const image = paint.createImageData(map.columns, map.rows);
  values.forEach((row, r) => row.forEach((value, c) => {
    if (value == null) return;
    const [red, green, blue] = colour((value - low) / (high - low));
    image.data.set([red, green, blue, 255], 4 * (r * map.columns + c));
  }));
  paint.putImageData(image, 0, 0);
  const dx = (map.to_mm[0] - map.from_mm[0]) / (map.columns - 1);
  const dy = (map.to_mm[1] - map.from_mm[1]) / (map.rows - 1);
  const picture = element("image", {
    x: map.from_mm[0] - dx / 2, y: map.from_mm[1] - dy / 2, width: dx * map.columns, height: dy * map.rows,
    preserveAspectRatio: "none", href: canvas.toDataURL(),
  }, layer);
  picture.classList.add("places");
  drawLegend(legend, map, low, high);
}

/** Why there is no map. */
const NONE = {
  blocked: "No map: other balls close the object ball’s way to the pocket.",
  "no-drop": "No map: the ball dies before the hole; hit it harder.",
  "in-the-jaws": "No map: the ball hangs in the jaws, and almost any hit drops it.",
};

/** What the colours mean, and what makes strips of them dark. */
function words(map) {
  if (map.status !== "ok") return NONE[map.status] ?? "No map: the object ball does not drop from here.";
  const { over_rail: rail, needs_rest: rest } = map.stance ?? {};
  const harder = map.chance ? [rail && "along the rails the cue is raised over the rail", rest && "far from all rails it takes the rest"] : [];
  const dark = harder.filter(Boolean).join(", ");
  return said(`With the cue ball there. Bare cloth: no shot.${dark ? ` Darker strips: ${dark}.` : ""}`);
}

function drawLegend(legend, map, low, high) {
  const paint = legend.bar.getContext("2d");
  for (let x = 0; x < legend.bar.width; x += 1) {
    paint.fillStyle = `rgb(${colour(x / (legend.bar.width - 1)).join(",")})`;
    paint.fillRect(x, 0, 1, legend.bar.height);
  }
  legend.low.textContent = map.chance ? inTen(low) : "no room";
  legend.high.textContent = map.chance ? inTen(high) : `${degrees(high)} in all`;
  legend.words.textContent = words(map);
}
