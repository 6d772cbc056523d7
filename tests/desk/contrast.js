// Texts whose contrast with what lies behind them is under 4.5 to 1 (WCAG 2.2, success criterion 1.4.3).
const lum = (colour) => {
  const [r, g, b] = colour.map((v) => ((v /= 255) <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
};
const rgb = (text) => {
  const n = text.match(/[\d.]+/g).map(Number);
  return n.length > 3 && n[3] === 0 ? null : n.slice(0, 3);
};
const ground = (element) => {
  for (; element; element = element.parentElement) {
    const colour = rgb(getComputedStyle(element).backgroundColor);
    if (colour) return colour;
  }
  return [255, 255, 255];
};
const poor = [];
for (const e of document.querySelectorAll("body *")) {
  const own = [...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim());
  if (!own || e.closest("svg") || !e.checkVisibility()) continue;
  const [a, b] = [lum(rgb(getComputedStyle(e).color)), lum(ground(e))];
  const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
  if (ratio < 4.5) poor.push(`${e.tagName}.${e.className} ${ratio.toFixed(2)}`);
}
return poor;
