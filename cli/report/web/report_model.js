// report_model.js: the report's data as page and figures go through it: lobe by lobe, front of the cam first.
import {
  alongChart, liftChart, outlineChart, outlineMagnification, stripeChart, taperChart, thrustChart, unrolledChart, wearChart
} from './charts.js';
import { sayNumber } from './say.js';

function valueOf(figure) {
  return figure && figure.value !== null ? figure.value : null;
}

/** Every lobe with all that its charts need. */
export function lobesOf(data) {
  return data.result.lobes.map(function (figures, i) {
    var stripes = data.stripe ? data.stripe.lobes : [];
    return {
      index: i, name: figures.name, verdict: figures.verdict, figures: figures, curves: data.curves[i], limits: data.limits,
      noseDeg: valueOf(figures.nose_deg) || 0, width: data.places[i].width, outline: data.outlines[i], stripe: stripes[i] || null,
      flat: data.used.follower === 'flat', mastered: figures.taper.datum === 'mastered',
      frontWear: valueOf(figures.wear.front_nose_depth), rearWear: valueOf(figures.wear.rear_nose_depth)
    };
  });
}

/** Lobes as they lie along the cam. */
export function frontFirst(data, lobes) {
  return lobes.slice().sort(function (a, b) { return data.places[a.index].z - data.places[b.index].z; });
}

/** The charts of one lobe: {key, title, says, draw(look)}; `wide` ones share a cursor. */
export function lobeCharts(lobe) {
  var charts = [{ key: 'lift', wide: true, title: 'Lift', says: 'Above the heel, at either edge of the lobe.', draw: liftChart }];
  if (lobe.curves.wear_front) {
    charts.push({ key: 'wear', wide: true, title: 'Wear around the lobe', draw: wearChart,
      says: 'Metal lost against the reference. Pale: where the true value lies, 95 times of 100.' });
  }
  charts.push({ key: 'taper', wide: true, title: 'Taper around the lobe', draw: taperChart,
    says: lobe.mastered ? 'Rear edge above front edge. What lies on the ramps turns the tappet.'
      : 'Without a front-to-rear zero: only how taper changes round the lobe.' });
  if (lobe.stripe && lobe.stripe.around.from.some(function (v) { return v !== null; })) {
    charts.push({ key: 'stripe', wide: true, title: 'Bright band', draw: stripeChart,
      says: 'Where running should polish the lobe' + (lobe.stripe.places.some(function (p) { return p.seen; })
        ? '; boxes: what the eye saw.' : '. No band was noted by eye.') });
  }
  if (lobe.curves.wear_front) {
    charts.push({ key: 'unrolled', title: 'Wear unrolled', draw: unrolledChart,
      says: 'The lobe’s face laid flat: straight between the edges that were measured.' });
  }
  if (lobe.outline) {
    charts.push({ key: 'outline', square: true, title: 'Outline', draw: outlineChart,
      says: lobe.curves.wear_front ? 'Nose up. Wear drawn ' + sayNumber(outlineMagnification(lobe), 0) + ' times its size.' : 'Nose up.' });
  }
  return charts;
}

/** Of the two ramps' tapers the smaller: it decides. */
export function rampTaper(lobe) {
  var opening = lobe.figures.taper.opening, closing = lobe.figures.taper.closing;
  if (!opening || !closing) return null;
  return Math.abs(opening.value) < Math.abs(closing.value) ? opening : closing;
}

/** Of the two edges' runouts the larger. */
export function largerRunout(lobe) {
  var edges = lobe.figures.base_circle.runout;
  return !edges.rear || (edges.front && edges.front.value >= edges.rear.value) ? edges.front : edges.rear;
}

/** The charts of the whole cam. */
export function camCharts(data, lobes) {
  var along = frontFirst(data, lobes), limits = data.limits, charts = [];
  function rows(figureOf) {
    return along.map(function (lobe) { return { name: lobe.name, figure: figureOf(lobe) }; });
  }
  function chart(key, name, figureOf, limit, says) {
    charts.push({ key: key, title: name.charAt(0).toUpperCase() + name.slice(1) + ' along the cam', says: says,
      draw: function (_, look) { return alongChart(rows(figureOf), name, limit, look); } });
  }
  if (data.result.reference) {
    chart('along-wear', 'nose wear', function (lobe) { return lobe.figures.wear.nose_depth; }, null,
      'Lobes differ by what oil reaches them; one far from its neighbours is worth a look at its tappet and bore.');
    chart('along-loss', 'lift lost', function (lobe) { return lobe.figures.lift.loss; },
      { value: limits.lift_loss, name: 'limit' }, '');
  }
  if (lobes.every(function (lobe) { return lobe.mastered; })) {
    chart('along-taper', 'ramp taper', rampTaper,
      data.used.follower === 'flat' ? { value: limits.least_ramp_taper, name: 'least' } : null,
      'On the ramp that has less of it; below nothing: high to the front.');
  }
  chart('along-runout', 'base-circle runout', largerRunout, { value: limits.base_circle_runout, name: 'limit' }, 'As swept, at the edge that has more of it.');
  if (data.thrust && data.thrust.through_turn.length) {
    charts.push({ key: 'thrust', title: 'Push along the cam through a turn', draw: function (_, look) { return thrustChart(data.thrust, look); },
      says: 'What the lobes’ tapers push the cam by under spring load, all together.' });
  }
  return charts;
}
