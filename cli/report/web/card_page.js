// card_page.js: a cam's card: lift, durations, centrelines; by kind and lobe by lobe.
import { alongChart } from './charts.js';
import { chartBlock } from './chart_slots.js';
import { el, figureCell, list, table } from './dom.js';
import { placesOf, sayFigure, sayNumber } from './say.js';

/** "duration at 0.1524 mm" */
function nameOf(figure, card) {
  return figure.figure.replace(/_/g, ' ') + (figure.lift ? ` at ${figure.lift} ${card.units}` : '');
}

function degrees(value, places) {
  return el('td', { class: 'number' }, sayNumber(value, places));
}

function lobeRows(card, places) {
  return card.lobes.map(lobe => el('tr', {}, el('th', { scope: 'row' }, lobe.name), el('td', {}, lobe.kind), figureCell(lobe.lift, places),
    figureCell(lobe.valve_lift, places), figureCell(lobe.nose_deg, 2), ...lobe.durations.map(d => figureCell(d.crank_deg, 1)),
    figureCell(lobe.area, 1), figureCell(lobe.least_radius, 2)));
}

function kindRows(card) {
  return card.kinds.flatMap(kind => kind.figures.map(figure => el('tr', {}, el('th', { scope: 'row' }, kind.kind),
    el('td', {}, nameOf(figure, card)), figureCell(figure.mean, 4), degrees(figure.standard_deviation, 4), degrees(figure.range, 4),
    el('td', {}, kind.stand_out.filter(s => nameOf(s, card) === nameOf(figure, card))
      .map(s => `${s.lobe} by ${sayFigure(s.difference, 4)}`).join(', ') || '–'))));
}

function cylinderRows(card) {
  return card.cylinders.map(c => el('tr', {}, el('th', { scope: 'row' }, String(c.cylinder)), figureCell(c.separation_deg, 2),
    el('td', { class: 'number' }, c.overlaps.map(o => `${sayFigure(o.crank_deg, 1)} at ${o.lift}`).join('; ') || '–'),
    degrees(c.advance_crank_deg === null ? null : c.advance_crank_deg.value, 2)));
}

export function buildCardPage(main, data) {
  const card = data.result, units = card.units, places = placesOf(units);
  const durations = card.lobes.length ? card.lobes[0].durations.map(d => ({ text: `duration at ${d.lift} ${units}, crank deg`, number: true })) : [];
  main.append(
    el('header', { class: 'verdict' }, el('h1', {}, data.headline), el('p', { class: 'run' }, el('span', { class: 'label' }, 'lengths'),
      `${units}; ± holds the true value 95 times of 100. The cam is taken as it is, worn or not.`)),
    table([{ text: 'lobe' }, { text: 'kind' }, { text: 'lift', number: true }, { text: 'lift at the valve', number: true }, { text: 'centreline, cam deg', number: true },
      ...durations, { text: `area, ${units}·cam deg`, number: true }, { text: 'least radius', number: true }], lobeRows(card, places), 'Every lobe'),
    el('div', { class: 'charts' },
      chartBlock({ key: 'lift', title: 'Lift along the cam', says: 'At the tappet.',
        draw: (_, look) => alongChart(card.lobes.map(lobe => ({ name: lobe.name, figure: lobe.lift })), 'lift', null, look) }, null, null, units)),
    el('h2', {}, 'By kind'), table([{ text: 'kind' }, { text: 'figure' }, { text: 'mean', number: true }, { text: 'standard deviation', number: true },
      { text: 'range', number: true }, { text: 'stands out' }], kindRows(card), 'By kind'),
    ...(card.cylinders.length ? [el('h2', {}, 'By cylinder'), table([{ text: 'cylinder' }, { text: 'separation, cam deg', number: true },
      { text: 'overlap, crank deg', number: true }, { text: 'advance, crank deg', number: true }], cylinderRows(card), 'By cylinder')] : []),
    el('h2', {}, 'Notes'), list(card.notes), el('h2', {}, 'Cautions'), list(data.cautions), el('p', { class: 'made' }, data.made_by));
}
