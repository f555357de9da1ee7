// charts.js: every chart of a cam as what ECharts draws, from the report's data alone. `look` is {theme, units, width,
// height, title}: with a title the chart carries it itself, as a figure on its own does.
import { escapeText, placesOf, sayFigure, sayNumber } from './say.js';
import { flatStretch, fromNose, magnification, newLift, ramps, unrolled } from './lobe_model.js';

// Without quotes: they would end the attribute that the font stands in.
export var fontFamily = 'system-ui, Segoe UI, DejaVu Sans, sans-serif';

function axis(look, name, more) {
  var theme = look.theme, out = {
    name: name, nameLocation: 'middle', nameTextStyle: { color: theme.faint, fontSize: 12 },
    axisLine: { show: true, lineStyle: { color: theme.faint } }, axisLabel: { color: theme.faint, fontSize: 12 },
    splitLine: { lineStyle: { color: theme.line, width: 0.6 } }
  };
  for (var key in more) out[key] = more[key];
  return out;
}

function degreesAxis(look) {
  return axis(look, 'cam degrees from the nose', { type: 'value', min: -180, max: 180, interval: 30, nameGap: 26 });
}

function lengthAxis(look, name, more) {
  var out = axis(look, name + ', ' + look.units, { type: 'value', scale: true, nameGap: 52 });
  out.axisLine.onZero = false;
  for (var key in more) out[key] = more[key];
  return out;
}

function frame(look, xAxis, yAxis, series, legend) {
  var theme = look.theme, top = (look.title ? 34 : 8) + (legend ? 24 : 0);
  return {
    animation: false, backgroundColor: look.title ? theme.paper : 'transparent',
    textStyle: { fontFamily: fontFamily, color: theme.ink },
    title: look.title ? { text: look.title, left: 8, top: 6,
      textStyle: { fontSize: 15, color: theme.ink, fontFamily: fontFamily } } : undefined,
    legend: legend ? { data: legend, top: look.title ? 32 : 2, left: 70, itemWidth: 34, itemHeight: 10,
      textStyle: { color: theme.ink, fontSize: 12 }, selectedMode: false } : undefined,
    grid: { left: 74, right: 18, top: top + 6, bottom: 44 },
    tooltip: { trigger: 'axis', confine: true, backgroundColor: theme.paper, borderColor: theme.faint,
      textStyle: { color: theme.ink, fontSize: 13 }, axisPointer: { lineStyle: { color: theme.ink } } },
    xAxis: xAxis, yAxis: yAxis, series: series
  };
}

function curve(name, deg, values, style) {
  var data = [];
  for (var i = 0; i < deg.length; ++i) data.push([deg[i], values[i]]);
  return { type: 'line', name: name, data: data, showSymbol: false, symbol: 'none', silent: true,
    lineStyle: style, itemStyle: { color: style.color }, emphasis: { disabled: true } };
}

function frontStyle(theme) { return { color: theme.front, width: 2, type: 'solid' }; }
function rearStyle(theme) { return { color: theme.rear, width: 2, type: [7, 3] }; }

/** Grey stretches with their names: where the ramps are. */
function rampAreas(look, stretches, more) {
  var named = [
    [{ name: 'opening ramp', xAxis: stretches.opening[0] }, { xAxis: stretches.opening[1] }],
    [{ name: 'closing ramp', xAxis: stretches.closing[0] }, { xAxis: stretches.closing[1] }]
  ];
  return { silent: true, itemStyle: { color: look.theme.area, opacity: 0.75 },
    label: { position: 'insideTop', color: look.theme.faint, fontSize: 11 }, data: named.concat(more || []) };
}

function limitLine(look, value, name) {
  return { yAxis: value, name: name, lineStyle: { color: look.theme.limit, type: [2, 3], width: 1.4 },
    label: { formatter: name, position: 'insideEndTop', color: look.theme.ink, fontSize: 11 } };
}

/** Text of a hover: the angle, then each curve's value with its unit. */
function hover(look) {
  var places = placesOf(look.units);
  return function (items) {
    if (!items.length) return '';
    var text = sayNumber(items[0].value[0], 1) + '° from the nose';
    items.forEach(function (item) {
      if (item.seriesName.charAt(0) === ' ') return;
      text += '<br>' + item.marker + escapeText(item.seriesName) + ' <b>' + sayNumber(item.value[1], places) + '</b> ' +
        look.units;
    });
    return text;
  };
}

export function liftChart(lobe, look) {
  var theme = look.theme, c = unrolled(lobe.curves, lobe.noseDeg), series = [], names = [];
  if (c.wear_front) {
    var fresh = newLift(c);
    series.push(curve('reference', c.deg, fresh, { color: theme.reference, width: 1.5, type: [1, 2] }));
    names.push('reference');
  }
  series.push(curve('front edge', c.deg, c.front, frontStyle(theme)), curve('rear edge', c.deg, c.rear, rearStyle(theme)));
  var option = frame(look, degreesAxis(look), lengthAxis(look, 'lift', { min: 0 }), series,
    names.concat(['front edge', 'rear edge']));
  option.tooltip.formatter = hover(look);
  return option;
}

/** Polygon between two curves that are known at some of the angles. */
function bandSeries(name, deg, low, high, colour) {
  var data = deg.map(function (d, i) { return [d, low[i], high[i]]; });
  return {
    type: 'custom', name: name, data: [data[0]], silent: true, z: 1, clip: true, tooltip: { show: false },
    renderItem: function (params, api) {
      var points = data.map(function (p) { return api.coord([p[0], p[2]]); })
        .concat(data.slice().reverse().map(function (p) { return api.coord([p[0], p[1]]); }));
      return { type: 'polygon', shape: { points: points }, style: { fill: colour, opacity: 0.22 } };
    }
  };
}

function wearBand(lobe, edge, colour) {
  var curves = lobe.curves, each = curves.u95_each, u95 = curves['wear_' + edge + '_u95'];
  if (!u95 || !each) return [];
  var places = u95.map(function (u, i) {
    var at = i * each, wear = curves['wear_' + edge][at];
    return [fromNose(curves.angle_deg[at], lobe.noseDeg), wear - u, wear + u];
  }).sort(function (a, b) { return a[0] - b[0]; });
  return [bandSeries(' 95 % ' + edge, places.map(function (p) { return p[0]; }),
    places.map(function (p) { return p[1]; }), places.map(function (p) { return p[2]; }), colour)];
}

/** Band limits that an axis must leave room for. */
function highest(lobe, sign) {
  var most = 0;
  ['front', 'rear'].forEach(function (edge) {
    var curves = lobe.curves, u95 = curves['wear_' + edge + '_u95'] || [];
    u95.forEach(function (u, i) { most = Math.max(most, sign * curves['wear_' + edge][i * curves.u95_each] + u); });
    curves['wear_' + edge].forEach(function (w) { most = Math.max(most, sign * w); });
  });
  return most;
}

export function wearChart(lobe, look) {
  var theme = look.theme, c = unrolled(lobe.curves, lobe.noseDeg);
  var series = wearBand(lobe, 'front', theme.front).concat(wearBand(lobe, 'rear', theme.rear));
  var front = curve('front edge', c.deg, c.wear_front, frontStyle(theme));
  front.markArea = rampAreas(look, ramps(c.deg, newLift(c)));
  series.push(front, curve('rear edge', c.deg, c.wear_rear, rearStyle(theme)));
  var option = frame(look, degreesAxis(look),
    lengthAxis(look, 'metal lost', { max: 1.12 * highest(lobe, 1), min: -1.05 * highest(lobe, -1),
      axisLabel: { color: theme.faint, fontSize: 12, showMinLabel: false, showMaxLabel: false,
        formatter: function (v) { return sayNumber(v, placesOf(look.units) - 1); } } }),
    series, ['front edge', 'rear edge']);
  option.tooltip.formatter = hover(look);
  return option;
}

export function taperChart(lobe, look) {
  var theme = look.theme, c = unrolled(lobe.curves, lobe.noseDeg), limits = lobe.limits;
  var series = [curve('taper', c.deg, c.taper, { color: theme.ink, width: 2, type: 'solid' })];
  var flat = lobe.flat && lobe.mastered ? flatStretch(c.deg, c.taper, limits.flat_taper) : null;
  var more = flat ? [[{ name: 'flat', xAxis: flat[0], itemStyle: { color: theme.rear, opacity: 0.18 },
    label: { position: 'insideBottom', color: theme.ink } }, { xAxis: flat[1] }]] : [];
  series[0].markArea = rampAreas(look, ramps(c.deg, newLift(c)), more);
  var lines = [{ yAxis: 0, lineStyle: { color: theme.faint, type: 'solid', width: 1 }, label: { show: false } }];
  var most = 0, least = 0;
  c.taper.forEach(function (t) { most = Math.max(most, t); least = Math.min(least, t); });
  if (lobe.flat && lobe.mastered) {
    var side = most > -least ? 1 : -1;
    lines.push(limitLine(look, side * limits.least_ramp_taper, 'least on a ramp'));
    most = Math.max(most, side * limits.least_ramp_taper);
    least = Math.min(least, side * limits.least_ramp_taper);
  }
  series[0].markLine = { silent: true, symbol: 'none', precision: 9, data: lines };
  var room = 0.14 * (most - least);
  var option = frame(look, degreesAxis(look),
    lengthAxis(look, 'taper, rear high positive', { max: most + 1.6 * room, min: least - room,
      axisLabel: { color: theme.faint, fontSize: 12, showMinLabel: false, showMaxLabel: false,
        formatter: function (v) { return sayNumber(v, placesOf(look.units) - 1); } } }), series, null);
  option.tooltip.formatter = hover(look);
  return option;
}

/** How many times the wear is magnified in the outline. */
export function outlineMagnification(lobe) {
  var most = 0;
  lobe.curves.wear_front.forEach(function (w, i) { most = Math.max(most, 0.5 * (w + lobe.curves.wear_rear[i])); });
  return magnification(most, 0.22 * lobe.outline.base_radius);
}

/** The lobe's section, nose up: as new, and with its wear magnified. */
export function outlineChart(lobe, look) {
  var theme = look.theme, curves = lobe.curves, outline = lobe.outline;
  var times = curves.wear_front ? outlineMagnification(lobe) : 1;
  var turn = Math.PI / 2 - lobe.noseDeg * Math.PI / 180, cos = Math.cos(turn), sin = Math.sin(turn);
  function turned(x, y) { return [x * cos - y * sin, x * sin + y * cos]; }
  var fresh = [], worn = [], reach = 0;
  for (var k = 0; k <= outline.x.length; ++k) {
    var i = k % outline.x.length, g = i * outline.each;
    var wear = curves.wear_front ? 0.5 * (curves.wear_front[g] + curves.wear_rear[g]) : 0;
    var normal = outline.normal_rad[i];
    fresh.push(turned(outline.x[i], outline.y[i]));
    worn.push(turned(outline.x[i] - times * wear * Math.cos(normal), outline.y[i] - times * wear * Math.sin(normal)));
    reach = Math.max(reach, Math.abs(outline.x[i]), Math.abs(outline.y[i]));
  }
  reach *= 1.05;
  var top = look.title ? 62 : 34, side = Math.min(look.width - 20, look.height - top - 8);
  var left = (look.width - side) / 2, hidden = { type: 'value', show: false, min: -reach, max: reach };
  var series = [];
  if (curves.wear_front) {
    series.push(curve('as new', fresh.map(first), fresh.map(second), { color: theme.reference, width: 1.5, type: [1, 2] }));
  }
  var now = curve(curves.wear_front ? 'now' : 'outline', worn.map(first), worn.map(second),
    { color: theme.ink, width: 2, type: 'solid' });
  series.push(now);
  series.push({ type: 'scatter', name: ' axis', data: [[0, 0]], symbol: 'path://M-10,0H10M0,-10V10', symbolSize: 14,
    silent: true, itemStyle: { color: 'none', borderColor: theme.faint, borderWidth: 1 } });
  var option = frame(look, hidden, hidden, series, series.slice(0, -1).map(function (s) { return s.name; }));
  option.grid = { left: left, top: top, width: side, height: side };
  option.tooltip = { show: false };
  return option;
}
function first(p) { return p[0]; }
function second(p) { return p[1]; }

/** Wear over angle and width; between the two edges the surface is straight across. */
export function unrolledChart(lobe, look) {
  var theme = look.theme, c = unrolled(lobe.curves, lobe.noseDeg), across = 7;
  var columns = [], rows = [], data = [], most = 0;
  for (var row = 0; row < across; ++row) rows.push(sayNumber(lobe.width * ((row + 0.5) / across - 0.5), 1));
  for (var deg = -180, at = 0; deg < 180; deg += 3) {
    while (at < c.deg.length - 1 && c.deg[at] < deg) ++at;
    for (var r = 0; r < across; ++r) {
      var share = (r + 0.5) / across, wear = (1 - share) * c.wear_front[at] + share * c.wear_rear[at];
      data.push([columns.length, r, wear]);
      most = Math.max(most, wear);
    }
    columns.push(sayNumber(deg, 0));
  }
  var option = frame(look,
    axis(look, 'cam degrees from the nose', { type: 'category', data: columns, nameGap: 26, splitLine: { show: false },
      axisTick: { show: false }, axisLabel: { color: theme.faint, fontSize: 12, hideOverlap: true, interval: function (i) { return i % 20 === 0; } } }),
    axis(look, 'front  ·  from the middle, ' + look.units + '  ·  rear', { type: 'category', data: rows, nameGap: 46,
      axisTick: { show: false }, splitLine: { show: false }, axisLabel: { color: theme.faint, fontSize: 12, interval: 2 } }),
    [{ type: 'heatmap', name: 'metal lost', data: data, silent: false, emphasis: { disabled: true }, itemStyle: { borderWidth: 0 } }], null);
  option.grid.right = 96;
  option.tooltip.trigger = 'item';
  option.tooltip.formatter = function (item) {
    return columns[item.value[0]] + '° from the nose, ' + rows[item.value[1]] + ' ' + look.units +
      ' from the middle<br>metal lost <b>' + sayNumber(item.value[2], placesOf(look.units)) + '</b> ' + look.units;
  };
  option.visualMap = { min: 0, max: most > 0 ? most : 1, calculable: false, orient: 'vertical', right: 4, top: 'middle',
    itemHeight: 110, itemWidth: 14, inRange: { color: theme.wear }, textStyle: { color: theme.faint, fontSize: 12 },
    text: [sayNumber(most, placesOf(look.units) - 1) + ' ' + look.units, '0'], precision: 6, hoverLink: false };
  return option;
}

/** The part of the width that the eye saw bright, as [from, to] about the lobe's middle. */
function seenBand(seen, place, width) {
  if (seen.side === 'front') return [-width / 2, -width / 2 + seen.width];
  if (seen.side === 'rear') return [width / 2 - seen.width, width / 2];
  var middle = seen.side === 'neither' && place.band ? 0.5 * (place.band.from + place.band.to) : 0;
  return [middle - seen.width / 2, middle + seen.width / 2];
}

export function stripeChart(lobe, look) {
  var theme = look.theme, around = lobe.stripe.around, low = [], high = [], deg = [], width = lobe.stripe.width;
  around.cam_deg.map(function (d, i) { return [fromNose(d, lobe.noseDeg), around.from[i], around.to[i]]; })
    .filter(function (p) { return p[1] !== null; }).sort(function (a, b) { return a[0] - b[0]; })
    .forEach(function (p) { deg.push(p[0]); low.push(p[1]); high.push(p[2]); });
  var expected = bandSeries('expected bright', deg, low, high, theme.front);
  expected.itemStyle = { color: theme.front };
  var seen = lobe.stripe.places.filter(function (p) { return p.seen; });
  var series = [expected];
  if (seen.length) {
    series.push({ type: 'custom', name: 'seen bright', silent: true, z: 3, itemStyle: { color: theme.rear }, tooltip: { show: false },
      data: seen.map(function (p) { return [fromNose(p.cam_deg, lobe.noseDeg)].concat(seenBand(p.seen, p, width)); }),
      renderItem: function (params, api) {
        var a = api.coord([api.value(0) - 3, api.value(2)]), b = api.coord([api.value(0) + 3, api.value(1)]);
        return { type: 'rect', shape: { x: a[0], y: a[1], width: b[0] - a[0], height: b[1] - a[1] },
          style: { fill: 'none', stroke: theme.rear, lineWidth: 2.5 } };
      } });
  }
  // Two thin curves carry the hover: from where to where.
  series.push(curve('from', deg, low, { color: theme.front, width: 1, type: 'solid' }),
    curve('to', deg, high, { color: theme.front, width: 1, type: 'solid' }));
  var option = frame(look, degreesAxis(look),
    axis(look, 'front  ·  from the middle, ' + look.units + '  ·  rear', { type: 'value', min: -width / 2, max: width / 2, nameGap: 46, axisLine: { onZero: false, lineStyle: { color: theme.faint } } }),
    series, series.slice(0, seen.length ? 2 : 1).map(function (s) { return s.name; }));
  option.tooltip.formatter = hover(look);
  return option;
}

/** Bars of a figure by place along the cam, with their 95 % intervals. */
export function alongChart(rows, name, limit, look) {
  var theme = look.theme, names = rows.map(function (row) { return row.name; });
  var known = rows.map(function (row) { return row.figure && row.figure.value !== null ? row.figure.value : '-'; });
  var whiskers = [];
  rows.forEach(function (row, i) {
    if (row.figure && row.figure.u95 !== null) whiskers.push([i, row.figure.value - row.figure.u95, row.figure.value + row.figure.u95]);
  });
  var bars = { type: 'bar', name: name, data: known, barMaxWidth: 46, itemStyle: { color: theme.metalEdge },
    emphasis: { disabled: true } };
  var most = 0, least = 0;
  whiskers.forEach(function (w) { most = Math.max(most, w[2]); least = Math.min(least, w[1]); });
  if (limit) {
    bars.markLine = { silent: true, symbol: 'none', precision: 9, data: [limitLine(look, limit.value, limit.name)] };
    if (limit.value < 3 * most) most = Math.max(most, limit.value);
  }
  var option = frame(look,
    axis(look, 'front of the cam  →  rear', { type: 'category', data: names, nameGap: 28, axisLabel: { color: theme.ink, fontSize: 13, interval: 0 } }),
    lengthAxis(look, name, { max: 1.12 * most || 1, min: 1.12 * least,
      axisLabel: { color: theme.faint, fontSize: 12, showMaxLabel: false, showMinLabel: least === 0,
        formatter: function (v) { return sayNumber(v, placesOf(look.units) - 1); } } }),
    [bars, { type: 'custom', name: ' 95 %', data: whiskers, silent: true, z: 5, tooltip: { show: false },
      renderItem: function (params, api) {
        var a = api.coord([api.value(0), api.value(1)]), b = api.coord([api.value(0), api.value(2)]);
        function line(x1, y1, x2, y2) {
          return { type: 'line', shape: { x1: x1, y1: y1, x2: x2, y2: y2 }, style: { stroke: theme.ink, lineWidth: 1.6 } };
        }
        return { type: 'group', children: [line(a[0], a[1], b[0], b[1]), line(a[0] - 5, a[1], a[0] + 5, a[1]),
          line(b[0] - 5, b[1], b[0] + 5, b[1])] };
      } }], null);
  option.tooltip.trigger = 'item';
  option.tooltip.formatter = function (item) {
    return escapeText(names[item.dataIndex]) + ': ' + escapeText(name) + '<br><b>' +
      sayFigure(rows[item.dataIndex].figure, placesOf(look.units)) + '</b> ' + look.units;
  };
  return option;
}

export function thrustChart(thrust, look) {
  var theme = look.theme, deg = [], push = [];
  thrust.through_turn.slice().sort(function (a, b) { return a.cam_deg - b.cam_deg; })
    .forEach(function (p) { deg.push(p.cam_deg); push.push(p.push_n); });
  var all = curve('all lobes together', deg, push, { color: theme.ink, width: 2, type: 'solid' });
  all.markLine = { silent: true, symbol: 'none', precision: 9, data: [
    { yAxis: 0, lineStyle: { color: theme.faint, type: 'solid', width: 1 }, label: { show: false } },
    limitLine(look, thrust.mean_n.value, 'mean')] };
  var option = frame(look,
    axis(look, 'cam degrees of the run', { type: 'value', min: -180, max: 180, interval: 60, nameGap: 26 }),
    axis(look, 'push, N, to the rear positive', { type: 'value', nameGap: 46 }), [all], null);
  option.tooltip.formatter = function (items) {
    return items.length ? sayNumber(items[0].value[0], 0) + '°<br><b>' + sayNumber(items[0].value[1], 2) + '</b> N' : '';
  };
  return option;
}

/** A figure against hours run: every run with its interval, the rate, and the limit where there is one. */
export function historyChart(trend, name, look) {
  var theme = look.theme, points = trend.at.map(function (p) { return [p.hours, p.value.value, p.value.u95]; });
  var most = 0, least = 0;
  points.forEach(function (p) { most = Math.max(most, p[1] + p[2]); least = Math.min(least, p[1] - p[2]); });
  var dots = { type: 'scatter', name: name, data: points, symbolSize: 9, itemStyle: { color: theme.front }, emphasis: { disabled: true } };
  if (trend.limit !== undefined && trend.limit !== null) {
    dots.markLine = { silent: true, symbol: 'none', precision: 9, data: [limitLine(look, trend.limit, 'limit')] };
    if (trend.limit < 4 * most) most = Math.max(most, trend.limit);
  }
  var whiskers = { type: 'custom', name: ' 95 %', data: points, silent: true, tooltip: { show: false }, renderItem: function (params, api) {
    var a = api.coord([api.value(0), api.value(1) - api.value(2)]), b = api.coord([api.value(0), api.value(1) + api.value(2)]);
    return { type: 'line', shape: { x1: a[0], y1: a[1], x2: b[0], y2: b[1] }, style: { stroke: theme.ink, lineWidth: 1.6 } };
  } };
  var option = frame(look, axis(look, 'hours run', { type: 'value', min: 0, nameGap: 26 }),
    lengthAxis(look, name, { max: 1.12 * most || 1, min: 1.12 * least, axisLabel: { color: theme.faint, fontSize: 12, showMaxLabel: false,
      showMinLabel: least === 0, formatter: function (v) { return sayNumber(v, placesOf(look.units) - 1); } } }), [dots, whiskers], null);
  option.tooltip.trigger = 'item';
  option.tooltip.formatter = function (item) {
    return sayNumber(item.value[0], 1) + ' h<br><b>' + sayFigure({ value: item.value[1], u95: item.value[2] }, placesOf(look.units)) + '</b> ' + look.units;
  };
  return option;
}
