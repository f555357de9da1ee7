// history_page.js: one cam measured again and again: what each lobe lost against its hours, and when a limit will be met.
import { historyChart } from './charts.js';
import { chartBlock } from './chart_slots.js';
import { el, figureCell, list, table } from './dom.js';
import { placesOf, sayFigure, sayNumber } from './say.js';

const trends = [['lift_loss', 'lift lost'], ['nose_wear', 'nose wear'], ['ramp_taper', 'ramp taper']];

function meets(trend) {
  if (!trend || trend.limit === undefined || trend.limit === null) return '–';
  if (trend.passed) return 'passed';
  const at = trend.limit_at_hours;
  if (!at) return 'the data don’t say';
  return `${sayNumber(at.hours, 0)} h (${sayNumber(at.earliest, 0)} to ${at.latest === null ? 'never' : sayNumber(at.latest, 0)})`;
}

function row(lobe, key, name, units) {
  const trend = lobe[key];
  if (!trend) return null;
  const last = trend.at[trend.at.length - 1];
  return el('tr', {}, el('th', { scope: 'row' }, lobe.name), el('td', {}, name), figureCell(last ? last.value : null, placesOf(units)),
    el('td', { class: 'number' }, trend.per_hour ? sayFigure({ value: 1000 * trend.per_hour.value, u95: 1000 * trend.per_hour.u95 }, placesOf(units)) : '–'),
    el('td', {}, trend.one_rate ? 'yes' : 'no'), el('td', { class: 'number' }, meets(trend)));
}

export function buildHistoryPage(main, data) {
  const history = data.result, units = history.units;
  main.append(
    el('header', { class: 'verdict' }, el('h1', {}, data.headline),
      el('p', { class: 'run' }, el('span', { class: 'label' }, 'runs'), history.runs.map(r => `${r.id} (${r.hours} h)`).join(' · ')),
      el('p', { class: 'run' }, el('span', { class: 'label' }, 'lengths'), `${units}; ± holds the true value 95 times of 100`)),
    table([{ text: 'lobe' }, { text: 'figure' }, { text: 'at the last run', number: true }, { text: `${units} in 1000 h`, number: true },
      { text: 'one rate' }, { text: 'limit met at', number: true }],
    history.lobes.flatMap(lobe => trends.map(([key, name]) => row(lobe, key, name, units))).filter(Boolean), 'Every lobe: rate and limit'),
    el('div', { class: 'charts' }, trends.filter(([key]) => history.lobes.some(lobe => lobe[key] && lobe[key].at.length)).flatMap(([key, name]) =>
      history.lobes.filter(lobe => lobe[key] && lobe[key].at.length).map(lobe => chartBlock({
        key: `${lobe.name}-${key}`, title: `${lobe.name}: ${name}`, says: 'Against hours run, with its 95 % intervals.',
        draw: (_, look) => historyChart(lobe[key], name, look)
      }, null, null, units)))),
    el('h2', {}, 'Notes'), list(history.notes), el('h2', {}, 'Cautions'), list(data.cautions), el('p', { class: 'made' }, data.made_by));
}
