// study_page.js: many cams judged: how many of each verdict, and wear by part, by hours and by place along the cam.
import { el, facts, list, mark, table } from './dom.js';
import { placesOf, sayNumber, sayVerdict } from './say.js';

const verdicts = ['reuse', 'remeasure', 'regrind', 'scrap'];

function number(value, places) {
  return el('td', { class: 'number', 'data-value': value }, sayNumber(value, places));
}

function spread(figures, places) {
  if (!figures) return [el('td', { class: 'number' }, '–'), el('td', { class: 'number' }, '–'), el('td', { class: 'number' }, '–')];
  return [number(figures.median, places), el('td', { class: 'number' }, `${sayNumber(figures.quarter, places)} to ${sayNumber(figures.three_quarters, places)}`),
    number(figures.largest, places)];
}

function middle(figures, places) {
  return number(figures ? figures.median : null, places);
}

function counts(of) {
  return verdicts.map(one => number(of[one], 0));
}

const heads = {
  counts: verdicts.map(one => ({ text: sayVerdict(one), number: true })),
  spread: name => [{ text: `${name}, median`, number: true }, { text: 'its middle half', number: true }, { text: 'most', number: true }]
};

function verdictTable(study) {
  return table([{ text: 'verdict' }, { text: 'cams', number: true }, { text: 'lobes', number: true }], verdicts.map(one => el('tr', {},
    el('th', { scope: 'row', class: 'verdict-cell' }, mark(one, 18), sayVerdict(one)), number(study.cams[one], 0), number(study.lobes[one], 0))), 'Verdicts');
}

function partTable(study, places) {
  return table([{ text: 'part' }, ...heads.counts, { text: 'hours, median', number: true }, ...heads.spread('nose wear'), { text: 'worst lobe, median', number: true }],
    study.parts.map(part => el('tr', {}, el('th', { scope: 'row' }, part.part || 'not said'), counts(part.verdicts), middle(part.hours, 0),
      spread(part.nose_wear, places), middle(part.worst_nose_wear, places))), 'By part');
}

function hoursTable(study, places) {
  return table([{ text: 'hours' }, ...heads.counts, ...heads.spread('nose wear'), { text: 'worst lobe, median', number: true }, { text: 'in 1000 h, median', number: true }],
    study.hours.map(band => el('tr', {}, el('th', { scope: 'row' }, band.to === null ? `${band.from} on` : `${band.from} to ${band.to}`), counts(band.verdicts),
      spread(band.nose_wear, places), middle(band.worst_nose_wear, places), middle(band.wear_per_1000_h, places))), 'By hours');
}

function placeTable(study, places) {
  return table([{ text: 'part' }, { text: 'lobe' }, { text: 'place', number: true }, ...heads.counts, ...heads.spread('nose wear'), { text: 'lift lost, median', number: true }, { text: 'ramp taper, median', number: true }],
    study.places.map(place => el('tr', {}, el('th', { scope: 'row' }, place.part || 'not said'), el('td', {}, place.lobe), number(place.z, 1), counts(place.verdicts),
      spread(place.nose_wear, places), middle(place.lift_loss, places), middle(place.ramp_taper, places))), 'By place along the cam');
}

export function buildStudyPage(main, data) {
  const study = data.result, places = placesOf(study.units);
  main.append(
    el('header', { class: 'verdict' }, el('h1', {}, data.headline),
      el('p', { class: 'run' }, el('span', { class: 'label' }, 'lengths'), `${study.units}; medians, the middle half of the values, the largest`)),
    facts([['runs', String(study.runs)], ['held against a reference', String(study.compared)],
      ['not judged', study.failures.length ? study.failures.map(f => `${f.runs} with exit status ${f.exit}`).join(', ') : null]]),
    verdictTable(study), el('h2', {}, 'By part'), partTable(study, places), el('h2', {}, 'By hours'), hoursTable(study, places),
    el('h2', {}, 'By place along the cam'), placeTable(study, places),
    el('h2', {}, 'Most worn'), list(study.most_worn.map(run => `${sayNumber(run.nose_wear, places)} at a nose: ${run.path}`)),
    el('h2', {}, 'Cautions'), list(data.cautions), el('p', { class: 'made' }, data.made_by));
}
