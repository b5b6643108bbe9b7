// Taking the picture and the numbers along.

/** Presentation that a picture needs when it stands alone. */
const STYLES = ["fill", "fill-opacity", "stroke", "stroke-width", "stroke-opacity", "stroke-dasharray", "stroke-linejoin", "stroke-linecap", "vector-effect", "display", "paint-order", "font-family", "font-weight", "text-anchor"];

function copyStyles(from, to) {
  const style = getComputedStyle(from);
  for (const name of STYLES) to.setAttribute(name, style.getPropertyValue(name));
  [...from.children].forEach((child, k) => copyStyles(child, to.children[k]));
}

/** The table as a picture of its own: no controls, the answer as title. */
export function pictureText(svg, title) {
  const copy = svg.cloneNode(true);
  copyStyles(svg, copy);
  copy.querySelectorAll(".grip, .ring").forEach((e) => e.remove());
  for (const e of [copy, ...copy.querySelectorAll("*")]) {
    for (const name of ["tabindex", "role", "aria-label", "aria-pressed", "class", "id", "style"]) e.removeAttribute(name);
  }
  const [, , width, height] = copy.getAttribute("viewBox").split(" ").map(Number);
  copy.setAttribute("width", `${width / 10}mm`);
  copy.setAttribute("height", `${height / 10}mm`);
  const name = document.createElementNS(svg.namespaceURI, "title");
  name.textContent = title;
  copy.prepend(name);
  return new XMLSerializer().serializeToString(copy);
}

/** Hands a file to the browser. */
export function save(name, content) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(content);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

/** The picture as PNG, `pixels` wide. */
export async function png(text, pixels) {
  const address = URL.createObjectURL(new Blob([text], { type: "image/svg+xml" }));
  try {
    const image = new Image();
    image.src = address;
    await image.decode();
    const canvas = document.createElement("canvas");
    canvas.width = pixels;
    canvas.height = Math.round((pixels * image.height) / image.width);
    canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
    return await new Promise((done) => canvas.toBlob(done, "image/png"));
  } finally {
    URL.revokeObjectURL(address);
  }
}

/** What is shown as one record; lists left out. */
export function csv(answer) {
  const columns = [];
  const walk = (prefix, value) => {
    if (Array.isArray(value)) return;
    if (value && typeof value === "object") {
      for (const [key, inner] of Object.entries(value)) walk(prefix ? `${prefix}_${key}` : key, inner);
      return;
    }
    columns.push([prefix, value == null ? "" : String(value)]);
  };
  walk("", answer.shot);
  const cell = (v) => (/[",\n]/.test(v) ? `"${v.replaceAll('"', '""')}"` : v);
  return `${columns.map((c) => cell(c[0])).join(",")}\r\n${columns.map((c) => cell(c[1])).join(",")}\r\n`;
}
