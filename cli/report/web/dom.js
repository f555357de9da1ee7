// dom.js: the page's parts as elements. Text from a run goes in as text, never as markup.
import { verdictMark } from './cam_drawing.js';
import { sayFigure } from './say.js';

/** An element with attributes and children; strings become text. */
export function el(tag, attributes, ...children) {
  const out = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes || {})) {
    if (value !== null && value !== undefined && value !== false) out.setAttribute(name, value === true ? '' : value);
  }
  for (const child of children.flat(Infinity)) {
    if (child !== null && child !== undefined) out.append(child);
  }
  return out;
}

/** A drawing that this page made itself, from text that was escaped. */
export function drawing(svg) {
  const holder = el('div', { class: 'drawing' });
  holder.innerHTML = svg;
  return holder;
}

export function mark(verdict, size) {
  const s = size || 22;
  return drawing(`<svg viewBox="0 0 ${s} ${s}" width="${s}" height="${s}" aria-hidden="true">${verdictMark(verdict, s / 2, s / 2, s - 5,
    { ink: 'currentColor' })}</svg>`);
}

/** A figure as a cell; what it is exactly stands in data-value and data-u95. */
export function figureCell(figure, otherwise) {
  const known = figure && figure.value !== null;
  return el('td', { class: 'number', 'data-value': known ? figure.value : null, 'data-u95': known ? figure.u95 : null },
    sayFigure(figure, otherwise));
}

export function table(head, rows, caption) {
  return el('div', { class: 'wide-table', tabindex: 0, role: 'region', 'aria-label': caption },
    el('table', {}, el('caption', { class: 'unseen' }, caption),
      el('thead', {}, el('tr', {}, head.map(h => el('th', { scope: 'col', class: h.number ? 'number' : null }, h.text)))),
      el('tbody', {}, rows)));
}

export function list(items) {
  return el('ul', {}, items.map(item => el('li', {}, item)));
}

export function facts(pairs) {
  return el('dl', {}, pairs.filter(([, value]) => value !== null && value !== undefined)
    .map(([name, value]) => [el('dt', {}, name), el('dd', {}, value)]));
}
