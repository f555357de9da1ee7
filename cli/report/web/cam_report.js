// cam_report.js: the report of a judged cam: first screen, lobe by lobe, along the cam, how it was measured.
import { camDrawing } from './cam_drawing.js';
import { chartBlock, keepDrawn, theme } from './chart_slots.js';
import { el, facts, figureCell, list, mark, table } from './dom.js';
import { camCharts, frontFirst, largerRunout, lobeCharts, lobesOf, rampTaper } from './report_model.js';
import { placesOf, sayFigure, sayNumber, sayVerdict } from './say.js';

let data, units, lobes;
let shown = 0;

/** A figure in the report's unit. */
function cell(figure, otherwise) {
  return figureCell(figure, otherwise === undefined ? placesOf(units) : otherwise);
}

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
      el('td', { class: 'decided' }, decided(lobe)), ...(compared ? [cell(f.lift.loss), cell(f.wear.nose_depth)] : [cell(f.lift.used)]),
      cell(rampTaper(lobe)), cell(largerRunout(lobe)),
      ...(compared ? [cell(f.stock_to_clean)] : []));
  });
  return table(head, rows, 'Every lobe: verdict and figures');
}

function figureRows(lobe) {
  const f = lobe.figures, w = f.wear, rows = [];
  const add = (name, figure, unit, otherwise) => {
    if (figure !== undefined) rows.push(el('tr', {}, el('th', { scope: 'row' }, name), cell(figure, otherwise), el('td', {}, unit)));
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
    cell(rule.figure), el('td', { class: 'number' }, (rule.at_least ? 'at least ' : 'at most ') + sayNumber(rule.limit, placesOf(units))),
    el('td', {}, rule.says)));
}

function budgetOf(lobe) {
  const budget = data.budget.lobes[lobe.index];
  const rows = budget.figures.map(figure => {
    const parts = Object.entries(figure.sources).filter(([, u]) => u > 0).sort((a, b) => b[1] - a[1]);
    const all = parts.reduce((sum, [, u]) => sum + u * u, 0);
    const words = parts.filter(([, u]) => u * u >= 0.01 * all).map(([name, u]) => `${name} ${Math.round(100 * u * u / all)} %`).join(', ');
    return el('tr', {}, el('th', { scope: 'row' }, figure.figure), cell(figure), el('td', {}, words || '–'));
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
    el('div', { class: 'charts' }, all.map(chart => chartBlock(chart, lobe, group, units))),
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

function camPart() {
  return el('section', { 'aria-labelledby': 'along' }, el('h2', { id: 'along' }, 'Along the cam'),
    el('div', { class: 'charts' }, camCharts(data, lobes).map(chart => chartBlock(chart, null, null, units))),
    data.thrust ? list(data.thrust.notes) : el('p', {}, data.no_thrust),
    data.journals.some(j => j.figures) ? table([{ text: 'journal' }, { text: 'runout', number: true }, { text: 'out of round', number: true }],
      data.journals.filter(j => j.figures).map(j => el('tr', {}, el('th', { scope: 'row' }, j.name), cell(j.figures.runout), cell(j.figures.out_of_round))),
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

function walkByKeys(event) {
  if (event.target.closest('.chart, .wide-table') || event.altKey || event.ctrlKey || event.metaKey) return;
  const step = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
  if (!step) return;
  const order = frontFirst(data, lobes).map(lobe => lobe.index);
  chooseLobe(order[(order.indexOf(shown) + step + order.length) % order.length]);
}

/** Builds the report into `main`. */
export function buildCamReport(main, reportData) {
  data = reportData;
  units = data.result.units;
  lobes = data.lobes = lobesOf(data);
  const cam = el('div', { class: 'cam-drawing' });
  keepDrawn(() => { cam.innerHTML = camDrawing(data, { theme: theme(), units }); });
  main.append(opening(), next(), cam, lobeTable(), lobesPart(), camPart(), benchPart());
  // The lobe that needs looking at comes first.
  const worst = data.result.cam.reasons.map(r => r.lobe).find(Boolean);
  chooseLobe(Math.max(0, lobes.findIndex(lobe => lobe.name === worst)));
  cam.addEventListener('click', event => {
    const lobe = event.target.closest('.drawn-lobe');
    if (lobe) chooseLobe(Number(lobe.dataset.lobe), true);
  });
  document.addEventListener('keydown', walkByKeys);
}
