// The names of the rails, written on them: which end is the head and which side is left depends on
// how the picture lies.

import { element } from "./svg.js";

/** Letters as high as this on the screen, CSS px, and on the table no smaller and no larger, mm. */
const PIXELS = 11;
const LEAST = 40;
const MOST = 84;
/** Middle of the wood from the noses, mm: in line with the diamonds. */
const OUT = 110;

/** Writes them into `layer`, which has the picture's own frame; `scale` is pixels a millimetre. */
export function nameRails(layer, plan, frame, scale) {
  layer.replaceChildren();
  const { length_mm: length, width_mm: width, diamonds: [along, across] } = plan;
  const size = Math.min(Math.max(PIXELS / scale, LEAST), MOST);
  // Between two diamonds and away from the pockets.
  const [x, y] = [(length * (along / 2 - 1.5)) / along, (width * (across / 2 + 0.5)) / across];
  const [start, end] = plan.marks === "diamonds" ? ["head", "foot"] : ["baulk", "top"];
  const places = [[start, [-OUT, y]], [end, [length + OUT, y]], ["right", [x, -OUT]], ["left", [x, width + OUT]]];
  const middle = frame.to([length / 2, width / 2]);
  for (const [name, at] of places) {
    const [u, v] = frame.to(at);
    const [w, h] = [frame.size[0] / 2, frame.size[1] / 2];
    // Beside the table words are turned, to fit on the rail.
    const beside = Math.abs(u - middle[0]) / w > Math.abs(v - middle[1]) / h;
    const turn = beside ? (u < middle[0] ? -90 : 90) : 0;
    const text = element("text", {
      class: "rail-name", "text-anchor": "middle", "font-size": size, y: 0.36 * size,
      transform: `translate(${u} ${v}) rotate(${turn})`,
    }, layer);
    text.textContent = name;
  }
}
