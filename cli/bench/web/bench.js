// bench.js: the bench's page: whole states come in and are shown; buttons go out. It asks again when the line is lost.
import * as echarts from 'echarts/core';
import { LineChart } from 'echarts/charts';
import { GridComponent } from 'echarts/components';
import { CanvasRenderer } from 'echarts/renderers';

echarts.use([LineChart, GridComponent, CanvasRenderer]);

const byId = id => document.getElementById(id);
const traceEachMs = 200;
let line = null;
let state = null;
let due = false;
let tracedMs = 0;
let sound = null;
let heard = { troubles: 0, stage: '', of: '', pass: 0 };

function text(id, words) {
  const element = byId(id);
  if (element.textContent !== words) element.textContent = words;
}

/** A child for each item, made or changed only where it differs: a screen reader isn't told the same twice. */
function children(parent, items, make, same) {
  const key = JSON.stringify(items);
  if (parent.dataset.key === key) return;
  parent.dataset.key = key;
  parent.replaceChildren(...items.map(make));
}

function colours() {
  const style = getComputedStyle(document.documentElement);
  return name => style.getPropertyValue(`--${name}`).trim();
}

// ---- the ring -------------------------------------------------------------------------------------------------------

/** Where an angle stands: 0 at the top, growing clockwise. */
function onRing(deg, radius) {
  const a = (deg - 90) * Math.PI / 180;
  return [radius * Math.cos(a), radius * Math.sin(a)].map(v => v.toFixed(2)).join(' ');
}

function arc(from, to, radius) {
  if (to - from >= 359.99) return arc(from, from + 180, radius) + arc(from + 180, from + 359.98, radius);
  return `M${onRing(from, radius)}A${radius} ${radius} 0 ${to - from > 180 ? 1 : 0} 1 ${onRing(to, radius)}`;
}

function showRing() {
  const missing = state.missing;
  const sweeping = state.stage === 'sweep';
  let open = 0;
  for (const [from, to] of missing) open += to - from;
  const share = sweeping ? Math.max(0, Math.min(100, Math.round(100 - open / 3.6))) : 0;
  let out = `<circle r="92" fill="none" stroke="var(--ink)" stroke-width="${sweeping ? 22 : 3}"/>`;
  // What is missing: hollow and hatched, so that it is seen without colour.
  if (sweeping) {
    for (const [from, to] of missing) {
      out += `<path d="${arc(from, to, 92)}" fill="none" stroke="var(--paper)" stroke-width="18"/>` +
        `<path d="${arc(from, to, 92)}" fill="none" stroke="var(--faint)" stroke-width="14" stroke-dasharray="1 6"/>`;
    }
  }
  if (state.angle_deg !== null) {
    out += `<path d="M${onRing(state.angle_deg, 108)}L${onRing(state.angle_deg - 4, 74)}L${onRing(state.angle_deg + 4, 74)}z" fill="var(--rear)" stroke="var(--paper)" stroke-width="2"/>`;
  }
  const angle = state.angle_deg === null ? '–' : `${state.angle_deg.toFixed(1)}°`;
  out += `<text y="8" text-anchor="middle" font-size="36" font-weight="600" fill="var(--ink)">${angle}</text>` +
    `<text y="34" text-anchor="middle" font-size="15" fill="var(--faint)">${sweeping ? `${share} % of the turn` : 'cam angle'}</text>`;
  byId('ring').innerHTML = out;  // numbers only
  byId('ring').setAttribute('aria-label', sweeping ? `${share} percent of the turn is read` : 'Nothing is being read');
}

// ---- traces ---------------------------------------------------------------------------------------------------------

const traces = ['lobe', 'taper'].map(id => echarts.init(byId(id), null, { renderer: 'canvas' }));
addEventListener('resize', () => traces.forEach(trace => trace.resize()));

function traceSeries(name, values, style) {
  return { type: 'line', name, data: values.map((v, i) => [i + 0.5, v === null ? '-' : v]), showSymbol: false, connectNulls: false,
    animation: false, silent: true, lineStyle: style };
}

function showTraces() {
  const colour = colours();
  const perUnit = state.units === 'in' ? 25400 : 1000;
  const scaled = list => list.map(v => (v === null ? null : v / perUnit));
  const front = scaled(state.front_um), rear = scaled(state.rear_um);
  const axis = (name, more) => ({ type: 'value', scale: true, name, nameTextStyle: { color: colour('faint'), align: 'left' },
    axisLabel: { color: colour('faint') }, splitLine: { lineStyle: { color: colour('line'), width: 0.5 } }, ...more });
  const option = series => ({ animation: false, grid: { left: 64, right: 14, top: 26, bottom: 26 },
    xAxis: axis('', { min: 0, max: 360, interval: 60 }), yAxis: axis(state.units), series });
  traces[0].setOption(option([traceSeries('front', front, { color: colour('front'), width: 3 }),
    traceSeries('rear', rear, { color: colour('rear'), width: 3, type: 'dashed' })]));
  traces[1].setOption(option([traceSeries('rear less front',
    front.map((f, i) => (f === null || rear[i] === null ? null : rear[i] - f)), { color: colour('ink'), width: 3 })]));
}

// ---- sound ----------------------------------------------------------------------------------------------------------

function tone(steps) {
  if (!sound) return;
  let at = sound.currentTime;
  for (const [hertz, seconds] of steps) {
    const voice = sound.createOscillator(), level = sound.createGain();
    voice.frequency.value = hertz;
    level.gain.setValueAtTime(0.25, at);
    level.gain.exponentialRampToValueAtTime(0.001, at + seconds);
    voice.connect(level).connect(sound.destination);
    voice.start(at);
    voice.stop(at + seconds);
    at += seconds;
  }
}

byId('sound').addEventListener('click', event => {
  if (sound) sound.close();
  sound = sound ? null : new AudioContext();
  event.target.setAttribute('aria-pressed', String(Boolean(sound)));
  tone([[660, 0.15]]);
});

/** Rising for a sweep that is done, falling for trouble. */
function listen() {
  const now = { troubles: state.troubles.length, stage: state.stage, of: state.of, pass: state.pass };
  if (heard.stage === 'sweep' && (now.stage !== 'sweep' || now.of !== heard.of || now.pass !== heard.pass)) {
    document.documentElement.dataset.tone = 'done';
    tone([[523, 0.14], [659, 0.14], [784, 0.3]]);
  } else if (now.stage === 'sweep' && now.troubles > heard.troubles) {
    document.documentElement.dataset.tone = 'trouble';
    tone([[330, 0.25], [220, 0.4]]);
  }
  heard = now;
}

// ---- buttons --------------------------------------------------------------------------------------------------------

const buttonsAt = {
  place: [['go', 'Start'], ['skip', 'Skip'], ['undo', 'Undo'], ['back', 'Back']],
  sweep: [['end', 'End here'], ['repeat', 'Repeat'], ['skip', 'Skip']],
  finished: [['go', 'Start'], ['skip', 'Skip'], ['undo', 'Undo'], ['back', 'Back']]
};

function press(ask) {
  if (line && line.readyState === WebSocket.OPEN) line.send(ask);
}

function makeButton([ask, words], i) {
  const button = document.createElement('button');
  button.type = 'button';
  button.dataset.ask = ask;
  button.textContent = words;
  if (i === 0) button.className = 'first';
  button.addEventListener('click', () => press(ask));
  return button;
}

function showButtons() {
  const wanted = state.motor ? [['end', 'HALT THE MOTOR']] : state.confirming_motor ? [] : buttonsAt[state.stage];
  children(byId('buttons'), wanted, makeButton);
}

// ---- all of it ------------------------------------------------------------------------------------------------------

function make(tag, words, className) {
  const out = document.createElement(tag);
  out.textContent = words;
  if (className) out.className = className;
  return out;
}

function show() {
  due = false;
  text('place', state.of);
  text('where', `${state.journal ? 'journal' : 'lobe'}, pass ${state.pass} · ${state.ordinal} of ${state.places.length}`);
  text('rig', state.away ? `rig away: ${state.port}` : `rig: ${state.port}`);
  byId('rig').classList.toggle('away', state.away);
  text('front', state.front);
  text('rear', state.rear);
  text('front-drift', state.front_drift === '?' ? '' : `drift ${state.front_drift} ${state.units}`);
  text('rear-drift', state.rear_drift === '?' ? '' : `drift ${state.rear_drift} ${state.units}`);
  text('speed', `${Math.abs(state.speed_deg_per_s).toFixed(0)} °/s`);
  text('most', state.most_deg_per_s === null ? '' : `at most ${state.most_deg_per_s.toFixed(0)}`);
  showRing();
  byId('now').parentElement.hidden = !state.says.length && !state.confirming_motor;
  children(byId('says'), state.confirming_motor ? ['The motor is asked for: type the word at the bench’s own keyboard.'] : state.says, words => make('p', words));
  // Room for six: what isn't put right comes first.
  const amiss = state.troubles.filter(trouble => !trouble.put_right).slice(-6);
  const right = state.troubles.filter(trouble => trouble.put_right).slice(-6);
  children(byId('troubles'), amiss.concat(right).slice(0, 6), trouble => {
    const item = make('li', (trouble.put_right ? 'put right: ' : '! ') + trouble.says, trouble.put_right ? 'right' : '');
    if (!trouble.put_right) item.append(make('span', trouble.advice, 'advice'));
    return item;
  });
  byId('amiss').parentElement.hidden = !state.troubles.length;
  children(byId('places'), state.places.map(p => ({ ...p, here: p.name === state.of })), place =>
    make('li', `${place.name}${place.done ? ' ✓' : ''}`, `${place.done ? 'done ' : ''}${place.here ? 'here' : ''}`));
  showButtons();
  listen();
  const now = performance.now();
  if (now - tracedMs > traceEachMs) {
    tracedMs = now;
    showTraces();
  }
  document.documentElement.dataset.heardUs = String(state.heard_us);
}

function connect() {
  line = new WebSocket(`ws://${location.host}/live`);
  line.addEventListener('message', event => {
    state = JSON.parse(event.data);
    if (!state.stage || due) return;
    due = true;
    requestAnimationFrame(show);
  });
  line.addEventListener('open', () => { document.documentElement.dataset.line = 'open'; });
  line.addEventListener('close', () => {
    document.documentElement.dataset.line = 'lost';
    text('rig', 'the bench doesn’t answer: is the program still running? Trying again');
    byId('rig').classList.add('away');
    setTimeout(connect, 1000);
  });
}

connect();
