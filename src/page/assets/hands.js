// Moving the balls: dragging, tapping a place, keys. All of them end in `moved(ball, mm)`.

import { Loupe } from "./loupe.js";

/** Steps of the arrow keys, diamonds. */
const STEP = 0.125;
const FINE = 0.01;
/** A pointer that moved less than this was a tap, CSS px. */
const STILL = 6;

const ARROWS = {
  ArrowUp: [0, 1], ArrowDown: [0, -1], ArrowLeft: [-1, 0], ArrowRight: [1, 0],
};

/** Nearest ball whose grip holds the pointer. */
function ballAt(table, state, at) {
  const near = Object.keys(table.balls).map((name) => {
    const [x, y] = state.mm(name);
    const grip = Number(table.balls[name].querySelector(".grip").getAttribute("r"));
    return { name, far: Math.hypot(at[0] - x, at[1] - y), grip };
  });
  near.sort((a, b) => a.far - b.far);
  return near[0]?.far <= near[0]?.grip ? near[0].name : null;
}

/**
 * Listens on the table. `on` has `select(ball)`, `moved(ball, mm)`, `settled()`, `pocket(name)`,
 * `remove(ball)`;
 * `state` has `mm(ball)`, `selected()` and `diamond()` (mm along and across).
 */
export function listen(table, state, on) {
  const { svg } = table;
  let held = null;
  const loupe = new Loupe(table);

  svg.addEventListener("pointerdown", (event) => {
    if (event.button !== 0 || held) return;
    const at = table.place(event);
    const name = ballAt(table, state, at);
    if (!name) return;
    event.preventDefault();
    const [x, y] = state.mm(name);
    held = { name, id: event.pointerId, off: [x - at[0], y - at[1]], moved: false, from: [event.clientX, event.clientY] };
    svg.setPointerCapture(event.pointerId);
    table.balls[name].classList.add("held");
    table.balls[name].focus({ preventScroll: true });
    on.select(name);
  });

  svg.addEventListener("pointermove", (event) => {
    if (!held || event.pointerId !== held.id) return;
    const far = Math.hypot(event.clientX - held.from[0], event.clientY - held.from[1]);
    if (!held.moved && far < 2) return;
    held.moved = true;
    const at = table.place(event);
    on.moved(held.name, [at[0] + held.off[0], at[1] + held.off[1]]);
    if (event.pointerType === "touch") loupe.show(event, state.mm(held.name));
  });

  const release = (event) => {
    if (!held || event.pointerId !== held.id) return;
    table.balls[held.name]?.classList.remove("held");
    const { moved } = held;
    loupe.hide();
    held = null;
    if (moved) on.settled();
  };
  // A finger that begins on a ball moves the ball; anywhere else it moves the page. Browsers read
  // `touch-action` of the whole picture only, so this is said here, before scrolling begins.
  const keepsPage = (event) => {
    if (!event.cancelable) return;
    const own = held || (event.touches.length === 1 && ballAt(table, state, table.place(event.touches[0])));
    if (own) event.preventDefault();
  };
  svg.addEventListener("touchstart", keepsPage, { passive: false });
  svg.addEventListener("touchmove", (event) => {
    if (held && event.cancelable) event.preventDefault();
  }, { passive: false });

  svg.addEventListener("pointerup", release);
  svg.addEventListener("pointercancel", release);

  // A tap moves a ball; it gives the table itself no focus, and what was being typed is done.
  svg.addEventListener("mousedown", (event) => {
    event.preventDefault();
    if (!svg.contains(document.activeElement)) document.activeElement?.blur();
  });

  let pressed = null;
  svg.addEventListener("pointerdown", (event) => { pressed = [event.clientX, event.clientY]; });
  svg.addEventListener("click", (event) => {
    if (pressed && Math.hypot(event.clientX - pressed[0], event.clientY - pressed[1]) > STILL) return;
    const at = table.place(event);
    if (ballAt(table, state, at)) return;
    const goal = event.target.closest?.(".goal");
    if (goal) {
      on.pocket(goal.dataset.pocket);
      return;
    }
    const { length_mm: length, width_mm: width } = table.plan;
    if (at[0] < 0 || at[1] < 0 || at[0] > length || at[1] > width) return;
    on.moved(state.selected(), at);
    on.settled();
  });

  svg.addEventListener("focusin", (event) => {
    const ball = event.target.closest?.(".handle")?.dataset.ball;
    if (ball && !held) on.select(ball);
  });

  let keys = 0;
  svg.addEventListener("keydown", (event) => {
    const goal = event.target.closest(".goal");
    if (goal && (event.key === "Enter" || event.key === " ")) {
      event.preventDefault();
      on.pocket(goal.dataset.pocket);
      return;
    }
    const ball = event.target.closest(".handle")?.dataset.ball;
    if (ball && (event.key === "Delete" || event.key === "Backspace")) {
      event.preventDefault();
      on.remove(ball);
      return;
    }
    const arrow = ARROWS[event.key];
    if (!ball || !arrow || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    const [along, across] = state.diamond();
    const step = event.shiftKey ? FINE : STEP;
    // Arrows mean the screen's directions: the table may stand or lie.
    const [right, up] = arrow;
    const [dx, dy] = table.standing ? [up, -right] : [right, up];
    const [x, y] = state.mm(ball);
    keys += 1;
    on.moved(ball, [x + dx * step * along, y + dy * step * across], { exact: true });
  });
  svg.addEventListener("keyup", (event) => {
    if (ARROWS[event.key] && keys) {
      keys = 0;
      on.settled();
    }
  });
}
