// Your own table: the measuring form, pocket by pocket; what its readings make is played on at once.

import { ask, download } from "../api.js";
import { able, button, choice, field, isAble, make, table, wide } from "../dom.js";
import { save } from "../keep.js";
import { inWords, said, withArticle } from "../words.js";

/** Units a size of a pocket may be left without. */
const UNITS = [["", "written with each number"], ["mm", "mm where none is written"], ["cm", "cm where none is written"], ["in", "inches where none is written"]];

/** Several things with commas and a last "and". */
const listed = (all) => (all.length > 1 ? `${all.slice(0, -1).join(", ")} and ${all.at(-1)}` : all.join(""));

/** A field with its label and a place for what is wrong with it. */
class Box {
  constructor(asked, pocket, inPlace = "") {
    this.of = asked.of;
    this.pocket = pocket;
    const id = `own-${asked.of}${pocket ? `-${pocket}` : ""}`;
    this.input = make("input", { id, type: "text", autocomplete: "off", spellcheck: "false", "aria-describedby": `${id}-fault` });
    this.wrong = make("small", { id: `${id}-fault`, class: "fault" });
    this.wrong.hidden = true;
    this.box = make("div", { class: "field" }, make("label", { for: id }, said(asked.words), inPlace && make("span", { class: "unseen" }, `, ${inPlace}`)), this.input, this.wrong);
  }

  given() { return { of: this.of, ...(this.pocket ? { pocket: this.pocket } : {}), text: this.input.value.trim() }; }

  tell(message) {
    this.wrong.textContent = message ? said(message) : "";
    this.wrong.hidden = !message;
    if (message) this.input.setAttribute("aria-invalid", "true");
    else this.input.removeAttribute("aria-invalid");
  }
}

/** A sketch of the form, with what it shows for those who do not see it. */
function drawn(sketch) {
  const src = URL.createObjectURL(new Blob([sketch.svg], { type: "image/svg+xml" }));
  return make("div", { class: "sheet" }, make("img", { alt: sketch.shows, src }));
}

export const own = {
  name: "own",
  title: "Your own table",
  needsAll: true,
  open(host, page, work) {
    /** The table whose form is shown. */
    let shown = null;
    let boxes = [];
    let ticks = [];
    let counts = [];
    let answer = null;
    const gearName = () => page.state().gear ?? page.gear().names[0];
    const plain = (id, type) => make("input", { id, type, autocomplete: "off", spellcheck: "false", "aria-describedby": `${id}-fault` });
    const named = { name: plain("own-name", "text"), date: plain("own-date", "date") };
    named.name.placeholder = "my-table";
    const unit = choice(UNITS, "", { id: "own-unit" });
    const head = make("p", { class: "finding" });
    const beside = make("p", { class: "quiet" });
    const form = make("div", { class: "own-form" });
    const wrongs = Object.fromEntries(["name", "date"].map((key) => [key, make("small", { class: "fault", id: `own-${key}-fault` })]));
    const paper = button("The form on paper, PDF", () => work(async () => save("measuring-form.pdf", await download("form-sheet", { table: gearName() }))), { id: "own-paper" });
    const status = make("div", { class: "own-status", role: "status" });
    const rows = wide("The table as measured");
    rows.hidden = true;
    const use = button("Play on this table", () => { if (isAble(use)) work(playOn); }, { id: "own-use", class: "main-button" });
    const file = button("Save the table, TOML", () => {
      if (isAble(file)) save(`${answer.name}.toml`, new Blob([answer.file], { type: "application/toml" }));
    }, { id: "own-save" });
    const back = button("Back to the standard table", () => work(async () => { await page.playOn({ gear: shown, set: {} }); tellUse(); }), { id: "own-back" });
    const used = make("p", { id: "own-used", role: "status" });
    const top = (label, control, wrong) => make("div", { class: "field" }, make("label", { for: control.id }, label), control, wrong);
    host.append(
      head, beside,
      make("div", { class: "view-top" },
        top("Name of your table", named.name, wrongs.name), top("Day of measuring, empty for today", named.date, wrongs.date),
        field("Units in the pockets’ boxes", unit), paper),
      form, status, rows, make("p", { class: "row" }, use, file, back), used,
    );
    for (const part of [form, unit, ...Object.values(named)]) part.addEventListener("change", () => work(count));

    const changes = () => Object.fromEntries((answer?.set ?? []).map((text) => text.split(/=(.*)/s).slice(0, 2)));
    /** Whether the page plays on what was measured. */
    const plays = () => {
      const { set } = page.state();
      const all = Object.entries(changes());
      return all.length > 0 && all.every(([key, value]) => set[key] === value);
    };
    function tellUse() {
      const yes = plays();
      used.textContent = yes ? "The page plays on your table now: every chance, chart and ladder goes by it, and so does the link." : "";
      back.hidden = Object.keys(page.state().set).length === 0;
      able(use, Boolean(answer?.file) && !yes);
      able(file, Boolean(answer?.file));
    }
    async function playOn() {
      await page.playOn({ gear: shown, set: changes() });
      tellUse();
    }

    /** What stands in the boxes is counted together. */
    async function count() {
      const alone = ticks.filter((t) => t.input.checked).map((t) => t.pocket);
      const readings = boxes.map((b) => b.given()).filter((g) => g.text)
        .map((g) => (alone.includes(g.pocket) ? { ...g, alone: true } : g));
      const asked = shown;
      const found = await ask("readings", { table: shown, name: named.name.value.trim(), date: named.date.value, unit: unit.value, readings });
      if (asked !== shown) return;
      answer = found;
      const fault = (of, pocket) => answer.faults.find((f) => f.of === of && (f.pocket ?? "") === (pocket ?? ""))?.message;
      for (const box of boxes) box.tell(fault(box.of, box.pocket));
      for (const key of ["name", "date"]) wrongs[key].textContent = fault(key) ?? "";
      for (const { box, of, all } of counts) {
        const done = boxes.filter((b) => of.includes(b.of) && b.pocket && b.input.value.trim()).map((b) => b.pocket);
        box.textContent = `Mouths measured: ${new Set(done).size} of ${all}.`;
      }
      tell(readings.length);
    }

    function tell(given) {
      const { faults, wrong, needs, missing, values, cushions } = answer;
      const line = (words, kind = "") => make("p", kind ? { class: kind } : {}, said(words));
      status.replaceChildren(
        ...(faults.length ? [line(faults.length === 1 ? "One box cannot be read yet; it says why." : `${faults.length} boxes cannot be read yet; each says why.`, "fault")] : []),
        ...wrong.map((words) => line(words, "fault")),
        ...needs.map((words) => line(`Not enough yet: ${words}.`)),
        ...(cushions ? [line(cushions)] : []),
        ...(values.some((v) => v.scattered) ? [line("Readings of one thing disagree by more than they should: measure those again.")] : []),
        line(missing.length ? `Still to measure, as far as you like: ${listed(missing)}. What is left out stays as on ${beside.dataset.table}.` : "Everything on the form is measured."),
        ...(given ? [] : [line("Nothing is measured yet.")]),
      );
      rows.hidden = !values.length;
      rows.replaceChildren(table("The table as measured", ["Measured", "Right 95 times in 100", "Standard"],
        values.map((v) => [v.what, said(`${v.value} ${v.reach}${v.scattered ? ", readings disagree" : ""}`), said(v.standard)])));
      tellUse();
    }

    /** The boxes of a table's form. What is in boxes that it has too stays in them. */
    function build(asked) {
      const before = Object.fromEntries([...form.querySelectorAll("input")].map((i) => [i.id, i.type === "checkbox" ? i.checked : i.value]));
      for (const img of form.querySelectorAll("img")) URL.revokeObjectURL(img.src);
      boxes = [];
      ticks = [];
      counts = [];
      const box = (a, pocket, inPlace) => {
        const made = new Box(a, pocket, inPlace);
        boxes.push(made);
        return made.box;
      };
      const kinds = asked.pockets.map((kind) => {
        const counted = make("p", { class: "quiet" });
        counts.push({ box: counted, of: [`${kind.kind}-mouth`, `${kind.kind}-gap`, `${kind.kind}-fall`], all: kind.pockets.length });
        const each = kind.pockets.map(([name, words]) => {
          const tick = make("input", { id: `own-alone-${name}`, type: "checkbox" });
          ticks.push({ input: tick, pocket: name });
          return make("fieldset", { class: "own-pocket" }, make("legend", {}, words),
            make("div", { class: "own-boxes" }, ...kind.of.map((a) => box(a, name, words))),
            kind.rounded ? "" : make("label", { class: "tick" }, tick, make("span", {}, "differs from the others: its mouth counts by itself")));
        });
        return make("section", { "aria-label": kind.heading },
          make("h3", {}, kind.heading),
          make("div", { class: "own-where" }, drawn(kind.sketch), make("ul", { class: "own-words" }, ...kind.words.map((line) => make("li", {}, said(line))))),
          counted, make("div", { class: "own-pockets" }, ...each));
      });
      const { rolls } = asked;
      form.replaceChildren(...kinds,
        make("section", { "aria-label": asked.heading }, make("h3", {}, asked.heading),
          make("p", {}, said(asked.strokes)),
          make("div", { class: "own-boxes" }, ...asked.once.map((a) => box(a)))),
        make("section", { "aria-label": rolls.heading }, make("h3", {}, rolls.heading),
          make("div", { class: "own-where" }, drawn(rolls.sketch), make("p", {}, said(rolls.words))),
          make("div", { class: "own-boxes" }, ...rolls.of.map((a) => box(a)))),
        make("p", { class: "quiet" }, said(asked.care)));
      for (const [id, value] of Object.entries(before)) {
        const control = form.querySelector(`#${CSS.escape(id)}`);
        if (control?.type === "checkbox") control.checked = value;
        else if (control) control.value = value;
      }
    }

    async function refresh() {
      const name = gearName();
      if (name !== shown) {
        const asked = await ask("form", { table: name });
        shown = name;
        const words = withArticle(inWords(page.gear(), name), " table");
        beside.dataset.table = words;
        beside.textContent = `Compared with ${words}, chosen above: what you leave out stays as it is there. Several readings of one thing go into one box, with commas between.`;
        head.textContent = said(asked.how);
        build(asked);
        await count();
      }
      tellUse();
    }
    refresh.entered = () => work(count);
    return refresh;
  },
};
