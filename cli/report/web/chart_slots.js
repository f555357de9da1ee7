// chart_slots.js: where charts stand in the page: drawn when they come into sight, again when the page's look or width
// changes, all of them for print; read off by mouse and by arrow keys.
import * as echarts from 'echarts/core';
import { BarChart, CustomChart, HeatmapChart, LineChart, ScatterChart } from 'echarts/charts';
import {
  GridComponent, LegendComponent, MarkAreaComponent, MarkLineComponent, TooltipComponent, VisualMapComponent
} from 'echarts/components';
import { SVGRenderer } from 'echarts/renderers';
import { el } from './dom.js';
import { dark, light } from './theme.js';

echarts.use([BarChart, CustomChart, HeatmapChart, LineChart, ScatterChart, GridComponent, LegendComponent, MarkAreaComponent,
  MarkLineComponent, TooltipComponent, VisualMapComponent, SVGRenderer]);

const charts = [];
const drawings = [];
const folded = [];  // what print unfolds
const printWidth = 680;  // of the text on A4 and Letter with their margins, in CSS pixels
let inPrint = false;

function isDark() {
  const chosen = document.documentElement.dataset.look;
  return !inPrint && (chosen ? chosen === 'dark' : matchMedia('(prefers-color-scheme: dark)').matches);
}
export function theme() { return isDark() ? dark : light; }

/** Calls `redraw` now and whenever the look changes. */
export function keepDrawn(redraw) {
  drawings.push(redraw);
  redraw();
}

function lookOf(slot) {
  return { theme: theme(), units: slot.units, title: null, width: slot.holder.clientWidth, height: slot.holder.clientHeight };
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

export function chartBlock(chart, lobe, group, units) {
  const title = lobe ? `Lobe ${lobe.name}: ${chart.title.toLowerCase()}` : chart.title;
  const holder = el('div', {
    class: chart.square ? 'chart square' : 'chart', tabindex: 0, role: 'img', 'data-chart': chart.key,
    'aria-label': `${title}. ${chart.says}${chart.square ? '' : ' Left and right arrow keys read it off.'}`
  });
  const slot = { chart, lobe, holder, units, group: chart.wide ? group : null, on: null, at: -1 };
  holder.addEventListener('keydown', event => steer(slot, event));
  charts.push(slot);
  return el('figure', { class: chart.wide ? 'wide' : null }, el('figcaption', {}, el('strong', {}, chart.title), ' ', chart.says), holder);
}

const waiting = new Set();
let first = null;  // in the page as it opens

/** How far a chart is from the top of what is in sight; charts above it come last. */
function distance(slot) {
  const top = slot.holder.getBoundingClientRect().top;
  return top < 0 ? -top + innerHeight : top;
}

/** One chart a frame, the one nearest to the eye first: five drawn at once keep the first from sight for half a second. */
function drawNext() {
  let nearest = null;
  for (const slot of waiting) if (!nearest || distance(slot) < distance(nearest)) nearest = slot;
  if (!nearest) return;
  waiting.delete(nearest);
  if (!nearest.on) draw(nearest);
  if (waiting.size) afterNextFrame(drawNext);
}

/** A task after the next frame was painted. */
function afterNextFrame(work) {
  requestAnimationFrame(() => setTimeout(work));
}

function drawSoon(slot) {
  if (slot.on) return;
  if (!waiting.size) afterNextFrame(drawNext);
  waiting.add(slot);
}

const seen = new IntersectionObserver(entries => {
  for (const entry of entries) {
    const slot = charts.find(c => c.holder === entry.target);
    if (!slot) continue;
    if (entry.isIntersecting) drawSoon(slot);
    else if (slot !== first) waiting.delete(slot);
  }
}, { rootMargin: '300px' });

const resized = new ResizeObserver(entries => {
  for (const entry of entries) {
    const slot = charts.find(c => c.holder === entry.target);
    if (slot && slot.on && !inPrint && entry.contentRect.width) draw(slot);
  }
});

export function redrawAll() {
  for (const slot of charts) if (slot.on) draw(slot);
  for (const redraw of drawings) redraw();
}

function toPrint() {
  inPrint = true;
  // The browser lays out for paper only after this; the class does so now, for charts have no size in what isn't shown.
  document.documentElement.classList.add('printing');
  folded.push(...document.querySelectorAll('details:not([open])'));
  for (const part of folded) part.open = true;
  for (const slot of charts) {
    slot.holder.style.width = (slot.chart.square ? 400 : slot.chart.wide ? printWidth : printWidth / 2 - 10) + 'px';
    draw(slot);
  }
  for (const redraw of drawings) redraw();
  // ECharts waits for the next frame, and paper has none.
  for (const slot of charts) if (slot.on) slot.on.getZr().flush();
}

function fromPrint() {
  inPrint = false;
  document.documentElement.classList.remove('printing');
  for (const part of folded.splice(0)) part.open = false;
  for (const slot of charts) slot.holder.style.width = '';
  redrawAll();
}

export function lookButton() {
  const button = el('button', { type: 'button', class: 'look' }, 'dark / light');
  button.addEventListener('click', () => {
    document.documentElement.dataset.look = isDark() ? 'light' : 'dark';
    redrawAll();
  });
  return button;
}

/** Once the page is built. */
export function watchCharts() {
  for (const slot of charts) {
    seen.observe(slot.holder);
    resized.observe(slot.holder);
  }
  // It stands there before anyone has scrolled to it.
  first = charts.find(slot => slot.holder.clientWidth) || null;
  if (first) drawSoon(first);
  window.addEventListener('beforeprint', toPrint);
  window.addEventListener('afterprint', fromPrint);
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', redrawAll);
}
