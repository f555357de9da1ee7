// regrind_page.js: a regrind planned: how deep, what limits it, what is left, and what else to mind.
import { alongChart } from './charts.js';
import { chartBlock } from './chart_slots.js';
import { el, facts, figureCell, list, mark, table } from './dom.js';
import { placesOf, sayFigure, sayNumber, sayVerdict } from './say.js';

function bars(key, title, says, rows, name, units) {
  return chartBlock({ key, title, says, draw: (_, look) => alongChart(rows, name, null, look) }, null, null, units);
}

function lobeRows(plan, places) {
  return plan.lobes.map(lobe => el('tr', {}, el('th', { scope: 'row' }, lobe.name),
    el('td', { class: 'verdict-cell' }, mark(lobe.verdict_as_it_is, 18), sayVerdict(lobe.verdict_as_it_is)), el('td', {}, lobe.target || '–'),
    el('td', {}, lobe.fits ? 'fits' : 'doesn’t fit'), figureCell(lobe.stock, places),
    el('td', { class: 'number' }, sayNumber(lobe.depth, places)), el('td', { class: 'number' }, sayNumber(lobe.lift, places)),
    el('td', { class: 'number' }, sayNumber(lobe.taper, places)), figureCell(lobe.base_diameter_left, places), figureCell(lobe.case_left, places)));
}

function profileTable(plan, places) {
  if (!plan.profiles.length) return null;
  return [el('h2', {}, 'Profiles that were tried, the largest lift first'), table([{ text: 'profile' }, { text: 'what is known of it' }],
    plan.profiles.map(profile => el('tr', {}, el('th', { scope: 'row' }, profile.name || '–'), el('td', {}, Object.entries(profile)
      .filter(([key, value]) => key !== 'name' && value !== null && typeof value !== 'object')
      .map(([key, value]) => `${key.replace(/_/g, ' ')} ${typeof value === 'number' ? sayNumber(value, places) : value}`).join(', ')))), 'Profiles')];
}

function separationTable(plan) {
  if (!plan.separations || !plan.separations.length) return null;
  return [el('h2', {}, 'Lobe separation'), table([{ text: 'cylinder' }, { text: 'lobes' }, { text: 'degrees', number: true }, { text: 'change', number: true }],
    plan.separations.map(s => el('tr', {}, el('th', { scope: 'row' }, String(s.cylinder)), el('td', {}, `${s.intake} and ${s.exhaust}`),
      el('td', { class: 'number' }, sayNumber(s.deg, 2)), el('td', { class: 'number' }, sayNumber(s.change_deg, 2)))), 'Lobe separation')];
}

export function buildRegrindPage(main, data) {
  const plan = data.result, units = plan.units, places = placesOf(units);
  const stock = plan.lobes.map(lobe => ({ name: lobe.name, figure: lobe.stock }));
  const left = plan.lobes.map(lobe => ({ name: lobe.name, figure: lobe.case_left }));
  main.append(
    el('header', { class: 'verdict' }, el('div', { class: 'headline' }, mark(plan.verdict, 56), el('div', {}, el('h1', {}, data.headline),
      plan.reasons.map(reason => el('p', { class: 'because' }, (reason.lobe ? `${reason.lobe}: ` : '') + reason.says)))),
    el('p', { class: 'run' }, el('span', { class: 'label' }, 'cam'), `${plan.used.id}; target ${plan.target || 'none'}; lengths in ${units}`)),
    facts([['stock, the whole cam', plan.stock ? `${sayFigure(plan.stock, places)} ${units}` : 'not known'],
      ['depth to grind, its ± included', plan.depth === null ? null : `${sayNumber(plan.depth, places)} ${units}`],
      ['decided by lobe', plan.limited_by],
      ['tappets sit lower by', plan.valve_train ? `${sayNumber(plan.valve_train.tappet_lower, places)} ${units}` : null],
      ['lash at the valve grows by', plan.valve_train && plan.valve_train.lash_at_valve !== null ? `${sayNumber(plan.valve_train.lash_at_valve, places)} ${units}` : null]]),
    table([{ text: 'lobe' }, { text: 'as it is' }, { text: 'target' }, { text: 'in its metal' }, { text: 'stock', number: true }, { text: 'depth', number: true },
      { text: 'lift', number: true }, { text: 'taper', number: true }, { text: 'base diameter after its stock', number: true }, { text: 'case after its stock', number: true }],
    lobeRows(plan, places), 'Every lobe: what comes off, what is left'),
    el('div', { class: 'charts' }, bars('stock', 'Stock along the cam', 'What each lobe needs on its own.', stock, 'stock', units),
      left.some(row => row.figure) ? bars('case', 'Case left along the cam', 'After its own stock; one depth for all leaves less.', left, 'case left', units) : null),
    ...[profileTable(plan, places), separationTable(plan)].flat().filter(Boolean),
    el('h2', {}, 'Tappets'), list(plan.tappets.map(t => `${t.tag} of ${t.lobe}: ${t.goes_back ? 'goes back' : `doesn’t go back, ${t.why_not}`}`)),
    el('h2', {}, 'Notes'), list(plan.notes.concat(plan.lobes.flatMap(lobe => lobe.notes.map(note => `${lobe.name}: ${note}`)))),
    el('h2', {}, 'Cautions'), list(data.cautions), el('p', { class: 'made' }, data.made_by));
}
