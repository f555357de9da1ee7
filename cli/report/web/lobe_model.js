// lobe_model.js: a lobe's curves put in the order in which they are drawn: cam degrees from the nose, -180 to 180.

/** Angle from the nose, -180 up to 180. */
export function fromNose(angleDeg, noseDeg) {
  var a = (angleDeg - noseDeg) % 360;
  if (a < -180) a += 360;
  return a >= 180 ? a - 360 : a;
}

/** {deg, front, rear, ...}: every curve of the lobe with the heel at both ends and the nose in the middle. */
export function unrolled(curves, noseDeg) {
  var order = [];
  for (var i = 0; i < curves.angle_deg.length; ++i) order.push([fromNose(curves.angle_deg[i], noseDeg), i]);
  order.sort(function (a, b) { return a[0] - b[0]; });
  var out = { deg: order.map(function (o) { return o[0]; }) };
  for (var name in curves) {
    if (name === 'angle_deg' || name === 'u95_each' || !curves[name] || curves[name].length !== order.length) continue;
    out[name] = order.map(function (o) { return curves[name][o[1]]; });
  }
  return out;
}

/** The lobe's mean lift when new, or as it is where there is no reference. */
export function newLift(curves) {
  return curves.front.map(function (front, i) {
    var wear = curves.wear_front ? 0.5 * (curves.wear_front[i] + curves.wear_rear[i]) : 0;
    return 0.5 * (front + curves.rear[i]) + wear;
  });
}

/** Where lift lies between 20 and 80 % of its largest, on either side of the nose: {opening: [a, b], closing: [a, b]}. */
export function ramps(deg, lift) {
  var most = Math.max.apply(null, lift);
  function crossing(level, from, step) {
    for (var i = from; i > 0 && i < deg.length - 1; i += step) {
      if (lift[i] <= level) return deg[i];
    }
    return deg[step > 0 ? deg.length - 1 : 0];
  }
  var nose = lift.indexOf(most);
  return {
    opening: [crossing(0.2 * most, nose, -1), crossing(0.8 * most, nose, -1)],
    closing: [crossing(0.8 * most, nose, 1), crossing(0.2 * most, nose, 1)]
  };
}

/** The unbroken stretch about the nose where the taper's size stays below the flat limit, or null. */
export function flatStretch(deg, taper, limit) {
  var middle = 0;
  for (var i = 1; i < deg.length; ++i) if (Math.abs(deg[i]) < Math.abs(deg[middle])) middle = i;
  if (Math.abs(taper[middle]) >= limit) return null;
  var from = middle, to = middle;
  while (from > 0 && Math.abs(taper[from - 1]) < limit) --from;
  while (to < deg.length - 1 && Math.abs(taper[to + 1]) < limit) ++to;
  return [deg[from], deg[to]];
}

/** A magnification of 1, 2 or 5 times a power of ten that draws `size` no larger than `room`. */
export function magnification(size, room) {
  if (!(size > 0)) return 1;
  var most = room / size, power = Math.pow(10, Math.floor(Math.log(most) / Math.LN10));
  var steps = [5, 2, 1];
  for (var i = 0; i < steps.length; ++i) if (steps[i] * power <= most) return Math.max(1, steps[i] * power);
  return 1;
}
