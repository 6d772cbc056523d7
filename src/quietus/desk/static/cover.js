// Draws a place to cover with the mouse. The page does without: the four numbers of the form say the same, and this
// only writes them. They are percent of the picture, whatever its size on the screen.
"use strict";

const sheet = document.querySelector("[data-draw]");
const form = document.querySelector("#mark");
const drawn = document.querySelector("#drawn");
const LEAST = 4; // screen pixels: a shorter way is a click, not a box

if (sheet && form && drawn) {
  const edges = ["left", "top", "right", "bottom"].map((name) => form.elements[name]);
  let start = null; // where the mouse went down, in percent and in screen pixels
  let moved = false;

  const place = (event) => {
    const frame = sheet.getBoundingClientRect();
    const within = (part) => Math.min(100, Math.max(0, 100 * part));
    return {
      x: within((event.clientX - frame.left) / frame.width),
      y: within((event.clientY - frame.top) / frame.height),
      clientX: event.clientX,
      clientY: event.clientY,
    };
  };

  const show = () => {
    const [left, top, right, bottom] = edges.map((edge) => (edge.value === "" ? NaN : Number(edge.value)));
    const whole = left >= 0 && top >= 0 && right <= 100 && bottom <= 100 && left < right && top < bottom;
    const box = whole ? [left, top, right - left, bottom - top] : [0, 0, 0, 0];
    ["x", "y", "width", "height"].forEach((name, at) => drawn.setAttribute(name, `${box[at]}%`));
  };

  const write = (values) => {
    edges.forEach((edge, at) => (edge.value = values[at]));
    show();
  };

  sheet.addEventListener("pointerdown", (event) => {
    if (event.button !== 0 || event.pointerType === "touch") return;
    start = place(event);
    moved = false;
    sheet.setPointerCapture(event.pointerId);
  });

  sheet.addEventListener("pointermove", (event) => {
    if (!start) return;
    const end = place(event);
    moved ||= Math.abs(end.clientX - start.clientX) >= LEAST || Math.abs(end.clientY - start.clientY) >= LEAST;
    if (!moved) return;
    const lower = [Math.min(start.x, end.x), Math.min(start.y, end.y)].map((value) => Math.floor(10 * value) / 10);
    const upper = [Math.max(start.x, end.x), Math.max(start.y, end.y)].map((value) => Math.ceil(10 * value) / 10);
    write([...lower, ...upper].map((value) => value.toFixed(1))); // outwards: nothing drawn around is left out
  });

  sheet.addEventListener("pointerup", () => {
    if (start && moved) form.elements.sort.focus({ preventScroll: true });
    start = null;
  });
  sheet.addEventListener("pointercancel", () => (start = null));
  sheet.addEventListener("dragstart", (event) => event.preventDefault());
  sheet.addEventListener("click", (event) => {
    if (!moved) return; // a click on a place leads to it in the list; the end of a drawing does not
    event.preventDefault();
    moved = false;
  }, true);

  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape") return;
    start = null;
    write(["", "", "", ""]);
  });
  edges.forEach((edge) => edge.addEventListener("input", show));
  document.querySelectorAll("[data-with-script]").forEach((hint) => (hint.hidden = false));
  sheet.classList.add("drawable");
  show();
}
