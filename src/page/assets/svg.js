// Small helpers for drawing.

const NAMESPACE = "http://www.w3.org/2000/svg";

/** An SVG element with attributes, put into `parent` when given. */
export function element(name, attributes = {}, parent = null) {
  const made = document.createElementNS(NAMESPACE, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  if (parent) parent.append(made);
  return made;
}

/** Gives an attribute a value; one that it has already costs nothing. */
export function put(node, name, value) {
  if (node.getAttribute(name) !== String(value)) node.setAttribute(name, value);
}

/** Points as the `points` of a polygon. */
export const points = (places) => places.map((p) => p.join(",")).join(" ");

/**
 * From the table's frame (mm, x from the head rail, y from the right rail) to the screen's:
 * lying with the foot on the right, or standing with the foot on top.
 */
export function frame(plan, margin, standing) {
  const { length_mm: length, width_mm: width } = plan;
  const matrix = standing
    ? [0, -1, -1, 0, width + margin, length + margin]
    : [1, 0, 0, -1, margin, width + margin];
  const [a, b, c, d, e, f] = matrix;
  return {
    transform: `matrix(${matrix.join(" ")})`,
    size: standing ? [width + 2 * margin, length + 2 * margin] : [length + 2 * margin, width + 2 * margin],
    to: ([x, y]) => [a * x + c * y + e, b * x + d * y + f],
    from: ([x, y]) => (standing ? [length + margin - y, width + margin - x] : [x - margin, width + margin - y]),
  };
}
