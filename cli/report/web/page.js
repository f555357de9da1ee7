// page.js: the report's page from its data. Text from a run goes in as text, never as markup.
import * as echarts from 'echarts/core';
import { BarChart, CustomChart, HeatmapChart, LineChart, ScatterChart } from 'echarts/charts';
import {
  GridComponent, LegendComponent, MarkAreaComponent, MarkLineComponent, TitleComponent, TooltipComponent, VisualMapComponent
} from 'echarts/components';
import { SVGRenderer } from 'echarts/renderers';
import { camDrawing, verdictMark } from './cam_drawing.js';
import { camCharts, frontFirst, largerRunout, lobeCharts, lobesOf, rampTaper } from './report_model.js';
import { placesOf, sayFigure, sayNumber, sayVerdict } from './say.js';
import { dark, light } from './theme.js';

echarts.use([BarChart, CustomChart, HeatmapChart, LineChart, ScatterChart, GridComponent, LegendComponent, MarkAreaComponent,
  MarkLineComponent, TitleComponent, TooltipComponent, VisualMapComponent, SVGRenderer]);

const data = JSON.parse(document.getElementById('data').textContent);
const units = data.result.units;
const lobes = data.lobes = lobesOf(data);
const charts = [];
const printWidth = 680;  // of the text on A4 and Letter with their margins, in CSS pixels
let shown = 0;
let inPrint = false;

/** An element with attributes and children; strings become text. */
function el(tag, attributes, ...children) {
  const out = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes || {})) {
    if (value !== null && value !== undefined && value !== false) out.setAttribute(name, value === true ? '' : value);
  }
  for (const child of children.flat(Infinity)) {
    if (child !== null && child !== undefined) out.append(child);
  }
  return out;
}

function isDark() {
  const chosen = document.documentElement.dataset.look;
  return !inPrint && (chosen ? chosen === 'dark' : matchMedia('(prefers-color-scheme: dark)').matches);
}
function theme() { return isDark() ? dark : light; }

/** A drawing that this page made itself, from text that was escaped. */
function drawing(svg) {
  const holder = el('div', { class: 'drawing' });
  holder.innerHTML = svg;
  return holder;
}

function mark(verdict, size) {
  const s = size || 22;
  return drawing(`<svg viewBox="0 0 ${s} ${s}" width="${s}" height="${s}" aria-hidden="true">${verdictMark(verdict, s / 2, s / 2, s - 5,
    { ink: 'currentColor' })}</svg>`);
}

/** A figure as a cell; what it is exactly stands in data-value and data-u95. */
function figureCell(figure, otherwise) {
  const known = figure && figure.value !== null;
  return el('td', { class: 'number', 'data-value': known ? figure.value : null, 'data-u95': known ? figure.u95 : null },
    sayFigure(figure, otherwise === undefined ? placesOf(units) : otherwise));
}

function table(head, rows, caption) {
  return el('div', { class: 'wide-table', tabindex: 0, role: 'region', 'aria-label': caption },
    el('table', {}, el('caption', { class: 'unseen' }, caption),
      el('thead', {}, el('tr', {}, head.map(h => el('th', { scope: 'col', class: h.number ? 'number' : null }, h.text)))),
      el('tbody', {}, rows)));
}

function list(items) {
  return el('ul', {}, items.map(item => el('li', {}, item)));
}

// ---- charts -------------------------------------------------------------------------------------------------------

function lookOf(slot) {
  return { theme: theme(), units, title: null, width: slot.holder.clientWidth, height: slot.holder.clientHeight };
}

function draw(slot) {
  if (!slot.holder.clientWidth) return;
  if (slot.on) slot.on.dispose();
  slot.on = echarts.init(slot.holder, null, { renderer: 'svg' });
  slot.option = slot.chart.draw(slot.lobe, lookOf(slot));
  slot.on.setOption(slot.option);
  slot.at = -1;
  if (slot.group) slot.on.group = slot.group;
  if (slot.group) echarts.connect(slot.group);
}

/** Arrow keys move the cursor along a chart, as the mouse does. */
function steer(slot, event) {
  const step = { ArrowLeft: -1, ArrowRight: 1, PageUp: -20, PageDown: 20 }[event.key];
  if (event.key === 'Escape' && slot.on) slot.on.dispatchAction({ type: 'hideTip' });
  if (!step || !slot.on || slot.chart.square) return;
  event.preventDefault();
  const series = slot.option.series.findIndex(s => s.type !== 'custom' && s.type !== 'scatter');
  const count = slot.option.series[series].data.length;
  slot.at = slot.at < 0 ? Math.floor(count / 2) : Math.min(count - 1, Math.max(0, slot.at + step));
  slot.on.dispatchAction({ type: 'showTip', seriesIndex: series, dataIndex: slot.at });
}

function chartBlock(chart, lobe, group) {
  const title = lobe ? `Lobe ${lobe.name}: ${chart.title.toLowerCase()}` : chart.title;
  const holder = el('div', {
    class: chart.square ? 'chart square' : 'chart', tabindex: 0, role: 'img', 'data-chart': chart.key,
    'aria-label': `${title}. ${chart.says}${chart.square ? '' : ' Left and right arrow keys read it off.'}`
  });
  const slot = { chart, lobe, holder, group: chart.wide ? group : null, on: null, at: -1 };
  holder.addEventListener('keydown', event => steer(slot, event));
  charts.push(slot);
  return el('figure', { class: chart.wide ? 'wide' : null }, el('figcaption', {}, el('strong', {}, chart.title), ' ', chart.says), holder);
}

const seen = new IntersectionObserver(entries => {
  for (const entry of entries) {
    const slot = charts.find(c => c.holder === entry.target);
    if (entry.isIntersecting && slot && !slot.on) draw(slot);
  }
}, { rootMargin: '300px' });

const resized = new ResizeObserver(entries => {
  for (const entry of entries) {
    const slot = charts.find(c => c.holder === entry.target);
    if (slot && slot.on && !inPrint && entry.contentRect.width) draw(slot);
  }
});

function redrawAll() {
  for (const slot of charts) if (slot.on) draw(slot);
  document.querySelectorAll('.cam-drawing').forEach(holder => { holder.innerHTML = camDrawing(data, { theme: theme(), units }); });
}

function toPrint() {
  inPrint = true;
  document.documentElement.classList.add('printing');
  for (const slot of charts) {
    slot.holder.style.width = (slot.chart.square ? 400 : slot.chart.wide ? printWidth : printWidth / 2 - 10) + 'px';
    draw(slot);
  }
  redrawAll();
}

function fromPrint() {
  inPrint = false;
  document.documentElement.classList.remove('printing');
  for (const slot of charts) slot.holder.style.width = '';
  redrawAll();
}

// ---- the first screen ----------------------------------------------------------------------------------------------

function runLine(run, label) {
  const facts = [run.id, run.condition, run.taken ? run.taken.replace('T', ' ').replace(/:\d\d(\.\d+)?Z?$/, '') : null,
    run.hours !== null ? `${run.hours} h` : null, run.operator].filter(Boolean);
  return el('p', { class: 'run' }, el('span', { class: 'label' }, label), facts.join(' · '), run.note ? el('em', {}, ' ', run.note) : null);
}

function opening() {
  const verdict = data.result.cam.verdict;
  return el('header', { class: `verdict ${verdict}` },
    el('div', { class: 'headline' }, mark(verdict, 56), el('div', {}, el('h1', {}, data.headline), el('p', { class: 'because' }, data.because))),
    runLine(data.used, 'cam'), data.reference ? runLine(data.reference, 'against') : null,
    el('p', { class: 'run' }, el('span', { class: 'label' }, 'lengths'), units === 'in' ? 'inches' : 'millimetres',
      '; ± holds the true value 95 times of 100'));
}

function next() {
  return el('section', { class: 'next', 'aria-labelledby': 'next' }, el('h2', { id: 'next' }, 'What to do next'),
    el('ol', {}, data.next.map(step => el('li', {}, step))), el('p', { class: 'caution' }, data.caution));
}

function chooseLobe(index, focus) {
  shown = index;
  document.querySelectorAll('.lobe').forEach(section => section.classList.toggle('shown', Number(section.dataset.lobe) === index));
  document.querySelectorAll('.lobe-bar button').forEach(button =>
    button.setAttribute('aria-pressed', String(Number(button.dataset.lobe) === index)));
  for (const slot of charts) if (slot.lobe && slot.lobe.index === index && !slot.on) draw(slot);
  if (focus) document.getElementById('lobes').scrollIntoView();
}

function decided(lobe) {
  const rule = data.rules[lobe.index][0];
  return rule ? rule.short : '–';
}

function lobeTable() {
  const compared = Boolean(data.result.reference);
  const head = [{ text: 'lobe' }, { text: 'verdict' }, { text: 'decided by' },
    ...(compared ? [{ text: 'lift lost', number: true }, { text: 'nose wear', number: true }] : [{ text: 'lift', number: true }]),
    { text: data.used.follower === 'flat' ? 'ramp taper' : 'taper', number: true }, { text: 'runout', number: true }, ...(compared ? [{ text: 'stock', number: true }] : [])];
  const rows = frontFirst(data, lobes).map(lobe => {
    const f = lobe.figures;
    const open = el('button', { type: 'button', class: 'link' }, lobe.name);
    open.addEventListener('click', () => chooseLobe(lobe.index, true));
    return el('tr', {}, el('th', { scope: 'row' }, open), el('td', { class: 'verdict-cell' }, mark(lobe.verdict, 18), sayVerdict(lobe.verdict)),
      el('td', { class: 'decided' }, decided(lobe)), ...(compared ? [figureCell(f.lift.loss), figureCell(f.wear.nose_depth)] : [figureCell(f.lift.used)]),
      figureCell(rampTaper(lobe)), figureCell(largerRunout(lobe)),
      ...(compared ? [figureCell(f.stock_to_clean)] : []));
  });
  return table(head, rows, 'Every lobe: verdict and figures');
}

// ---- a lobe ---------------------------------------------------------------------------------------------------------

function figureRows(lobe) {
  const f = lobe.figures, w = f.wear, rows = [];
  const add = (name, figure, unit, otherwise) => {
    if (figure !== undefined) rows.push(el('tr', {}, el('th', { scope: 'row' }, name), figureCell(figure, otherwise), el('td', {}, unit)));
  };
  add('lift when new', f.lift.reference, units);
  add('lift now', f.lift.used, units);
  add('lift lost', f.lift.loss, units);
  add('nose wear, mean', w.nose_depth, units);
  add('nose wear, front edge', w.front_nose_depth, units);
  add('nose wear, rear edge', w.rear_nose_depth, units);
  add(`deepest wear${w.edge ? ` (${w.edge} edge, at ${sayNumber(w.at_deg, 1)}°)` : ''}`, w.max_depth, units);
  add('wear, area', w.area, `${units}·deg`, 2);
  add('wear, volume', w.volume, `${units}³`, 3);
  add('taper, opening ramp', f.taper.opening, units);
  add('taper, nose', f.taper.nose, units);
  add('taper, closing ramp', f.taper.closing, units);
  add('taper, heel', f.taper.base, units);
  add('flat over', w.flat_arc_deg, 'deg', 1);
  add('nose radius when new', w.nose_radius.reference, units, 2);
  add('nose radius now', w.nose_radius.used, units, 2);
  add('runout of the heel, front', f.base_circle.runout.front, units);
  add('runout of the heel, rear', f.base_circle.runout.rear, units);
  add('eccentricity', f.base_circle.eccentricity, units);
  add('form of the heel, front', f.base_circle.form.front, units);
  add('form of the heel, rear', f.base_circle.form.rear, units);
  add('centreline at', f.nose_deg, 'deg', 2);
  add('turned against the reference', f.phase_shift_deg, 'deg', 3);
  add('stock to clean up', f.stock_to_clean, units);
  return rows;
}

function ruleRows(lobe) {
  return data.rules[lobe.index].map(rule => el('tr', {}, el('th', { scope: 'row' }, rule.rule),
    el('td', { class: 'verdict-cell' }, mark({ good: 'reuse', bad: 'scrap', open: 'remeasure' }[rule.proof], 16),
      { good: 'holds', bad: 'broken', open: 'open' }[rule.proof]),
    figureCell(rule.figure), el('td', { class: 'number' }, (rule.at_least ? 'at least ' : 'at most ') + sayNumber(rule.limit, placesOf(units))),
    el('td', {}, rule.says)));
}

function budgetOf(lobe) {
  const budget = data.budget.lobes[lobe.index];
  const rows = budget.figures.map(figure => {
    const parts = Object.entries(figure.sources).filter(([, u]) => u > 0).sort((a, b) => b[1] - a[1]);
    const all = parts.reduce((sum, [, u]) => sum + u * u, 0);
    const words = parts.filter(([, u]) => u * u >= 0.01 * all).map(([name, u]) => `${name} ${Math.round(100 * u * u / all)} %`).join(', ');
    return el('tr', {}, el('th', { scope: 'row' }, figure.figure), figureCell(figure), el('td', {}, words || '–'));
  });
  return el('details', {}, el('summary', {}, 'Where the ± comes from'),
    table([{ text: 'figure' }, { text: 'value', number: true }, { text: 'share of its variance' }], rows, `Uncertainty of lobe ${lobe.name}`));
}

function lobeSection(lobe) {
  const place = data.places[lobe.index], facts = [lobe.figures.kind, place.cylinder !== null ? `cylinder ${place.cylinder}` : null,
    place.tappet ? `tappet ${place.tappet}` : null].filter(Boolean).join(', ');
  const side = lobe.figures.taper.high_side;
  const group = `lobe-${lobe.index}`;
  const all = lobeCharts(lobe);
  return el('section', { class: 'lobe', 'data-lobe': lobe.index, 'aria-label': `Lobe ${lobe.name}` },
    el('h3', {}, mark(lobe.verdict, 30), `${lobe.name}: ${sayVerdict(lobe.verdict)}`, el('span', { class: 'label' }, facts)),
    lobe.figures.reasons.map(reason => el('p', { class: 'because' }, reason.says)),
    el('p', {}, side === 'front' || side === 'rear' ? `High side to the ${side}.` : side === 'none' ? 'No taper.' : 'High side not known.'),
    el('div', { class: 'charts' }, all.map(chart => chartBlock(chart, lobe, group))),
    table([{ text: 'rule' }, { text: 'outcome' }, { text: 'figure', number: true }, { text: 'limit', number: true }, { text: 'in words' }],
      ruleRows(lobe), `Rules of lobe ${lobe.name}`),
    table([{ text: 'figure' }, { text: `value`, number: true }, { text: 'unit' }], figureRows(lobe), `Figures of lobe ${lobe.name}`),
    budgetOf(lobe),
    lobe.stripe && lobe.stripe.places.some(p => p.seen) ? list(lobe.stripe.places.filter(p => p.seen).map(p => `${p.at}: ${p.seen.says}`)) : null,
    lobe.figures.notes.length ? el('details', { open: true }, el('summary', {}, 'Notes on this lobe'), list(lobe.figures.notes)) : null);
}

function lobesPart() {
  const bar = el('div', { class: 'lobe-bar', role: 'group', 'aria-label': 'Choose a lobe' }, frontFirst(data, lobes).map(lobe => {
    const button = el('button', { type: 'button', 'data-lobe': lobe.index }, mark(lobe.verdict, 18), lobe.name);
    button.addEventListener('click', () => chooseLobe(lobe.index));
    return button;
  }));
  return el('section', { id: 'lobes', 'aria-labelledby': 'lobes-head' }, el('h2', { id: 'lobes-head' }, 'Lobe by lobe'), bar, lobes.map(lobeSection));
}

// ---- the cam, the bench --------------------------------------------------------------------------------------------

function facts(pairs) {
  return el('dl', {}, pairs.filter(([, value]) => value !== null && value !== undefined)
    .map(([name, value]) => [el('dt', {}, name), el('dd', {}, value)]));
}

function camPart() {
  return el('section', { 'aria-labelledby': 'along' }, el('h2', { id: 'along' }, 'Along the cam'),
    el('div', { class: 'charts' }, camCharts(data, lobes).map(chart => chartBlock(chart, null, null))),
    data.thrust ? list(data.thrust.notes) : el('p', {}, data.no_thrust),
    data.journals.some(j => j.figures) ? table([{ text: 'journal' }, { text: 'runout', number: true }, { text: 'out of round', number: true }],
      data.journals.filter(j => j.figures).map(j => el('tr', {}, el('th', { scope: 'row' }, j.name), figureCell(j.figures.runout), figureCell(j.figures.out_of_round))),
      'Journals') : null,
    facts([['bend', data.result.cam.bend ? `${sayFigure(data.result.cam.bend, placesOf(units))} ${units}` : 'not known'],
      ['stock to clean up every lobe', data.result.cam.stock_to_clean ? `${sayFigure(data.result.cam.stock_to_clean, placesOf(units))} ${units}` : null]]));
}

function benchPart() {
  return el('section', { 'aria-labelledby': 'bench' }, el('h2', { id: 'bench' }, 'How it was measured'),
    data.tappets.length ? [el('h3', {}, 'Tappets'), list(data.tappets)] : null,
    el('div', { class: 'columns' },
      el('div', {}, el('h3', {}, 'This cam'), facts(data.used.facts)),
      data.reference ? el('div', {}, el('h3', {}, 'Its reference'), facts(data.reference.facts)) : null,
      el('div', {}, el('h3', {}, `Limits (${data.limits.source})`), facts(data.limits.shown))),
    el('h3', {}, 'What the figures rest on, and what was not measured'), list(data.result.cam.notes.concat(data.unmeasured)),
    el('h3', {}, 'Cautions'), list(data.cautions), el('p', { class: 'made' }, data.made_by));
}

function lookButton() {
  const button = el('button', { type: 'button', class: 'look' }, 'dark / light');
  button.addEventListener('click', () => {
    document.documentElement.dataset.look = isDark() ? 'light' : 'dark';
    redrawAll();
  });
  return button;
}

function build() {
  const cam = el('div', { class: 'cam-drawing' });
  const report = document.getElementById('report');
  report.append(lookButton(), el('main', {}, opening(), next(), cam, lobeTable(), lobesPart(), camPart(), benchPart()));
  redrawAll();
  // The lobe that needs looking at comes first.
  const worst = data.result.cam.reasons.map(r => r.lobe).find(Boolean);
  chooseLobe(Math.max(0, lobes.findIndex(lobe => lobe.name === worst)));
  for (const slot of charts) {
    seen.observe(slot.holder);
    resized.observe(slot.holder);
  }
  cam.addEventListener('click', event => {
    const lobe = event.target.closest('.drawn-lobe');
    if (lobe) chooseLobe(Number(lobe.dataset.lobe), true);
  });
  document.addEventListener('keydown', event => {
    if (event.target.closest('.chart, .wide-table') || event.altKey || event.ctrlKey || event.metaKey) return;
    const step = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    if (!step) return;
    const order = frontFirst(data, lobes).map(lobe => lobe.index);
    chooseLobe(order[(order.indexOf(shown) + step + order.length) % order.length]);
  });
  window.addEventListener('beforeprint', toPrint);
  window.addEventListener('afterprint', fromPrint);
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', redrawAll);
  document.documentElement.dataset.ready = 'yes';
}

build();
