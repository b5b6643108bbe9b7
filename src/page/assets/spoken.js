// The page in the words of whoever plays on the table: American ones in the sources, exchanged for those
// of snooker and English pool as they come on to the page.

/** What an element says in the other words where pairs alone do not tell: `data-uk`. */
const ATTRIBUTES = ["aria-label", "title", "placeholder"];

let pairs = [];
/** Texts as they were before the exchange, by node (and attribute). */
let before = new WeakMap();

const escaped = (text) => text.replace(/[\\^$.*+?()[\]{}|/]/g, "\\$&");

/** A pair as an expression: a whole word or phrase; # stands for a digit that follows. */
function expression([us]) {
  if (us.endsWith("#")) return `${escaped(us.slice(0, -1))}(?=\\d)`;
  return /[\p{L}\p{N}]$/u.test(us) ? `${escaped(us)}(?![\\p{L}\\p{N}_-])` : escaped(us);
}

const large = (text) => text[0].toUpperCase() + text.slice(1);

let wanted = null;
let theirs = new Map();

/** A text in the words of the table; what is theirs already stays. */
export function inTheirWords(text) {
  if (!wanted) return text;
  return text.replace(wanted, (found) => {
    const word = found[0].toLowerCase() + found.slice(1);
    const other = theirs.get(word) ?? theirs.get(found) ?? found;
    return /\p{Lu}/u.test(found[0]) ? large(other) : other;
  });
}

function sayText(node) {
  const kept = before.get(node);
  const own = kept && kept.said === node.data ? kept.text : node.data;
  const uk = node.parentElement?.dataset?.uk;
  const said = pairs.length && uk ? uk : inTheirWords(own);
  if (said === node.data) return;
  before.set(node, { text: own, said });
  node.data = said;
}

function sayAttributes(element) {
  for (const name of ATTRIBUTES) {
    const value = element.getAttribute(name);
    if (value == null) continue;
    const all = before.get(element) ?? {};
    const own = all[name]?.said === value ? all[name].text : value;
    const said = inTheirWords(own);
    if (said === value) continue;
    before.set(element, { ...all, [name]: { text: own, said } });
    element.setAttribute(name, said);
  }
}

function sayAll(root) {
  if (root.nodeType === Node.TEXT_NODE) {
    sayText(root);
    return;
  }
  if (root.nodeType !== Node.ELEMENT_NODE) return;
  const walk = document.createTreeWalker(root, NodeFilter.SHOW_ELEMENT | NodeFilter.SHOW_TEXT);
  for (let node = walk.currentNode; node; node = walk.nextNode()) {
    if (node.nodeType === Node.TEXT_NODE) sayText(node);
    else sayAttributes(node);
  }
}

const watch = new MutationObserver((changes) => {
  for (const change of changes) {
    if (change.type === "childList") change.addedNodes.forEach(sayAll);
    else if (change.type === "characterData") sayText(change.target);
    else sayAttributes(change.target);
  }
});

/** Speaks the words of a table from now on; `told` are its pairs, none for American ones. */
export function speakFor(told) {
  if (JSON.stringify(told) === JSON.stringify(pairs)) return;
  pairs = told;
  theirs = new Map(told.map(([us, uk]) => [us.replace(/#$/, ""), uk.replace(/#$/, "")]));
  wanted = told.length
    ? new RegExp(`(?<![\\p{L}\\p{N}_'./-])(?:${told.map(expression).join("|")})`, "giu")
    : null;
  sayAll(document.documentElement);
  if (told.length) {
    watch.observe(document.documentElement, { subtree: true, childList: true, characterData: true, attributes: true, attributeFilter: ATTRIBUTES });
  }
}
