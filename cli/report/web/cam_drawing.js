// cam_drawing.js: the cam from its side, front at the left: what each lobe lost, drawn many times its size, its high side
// and its verdict. An SVG of its own.
import { escapeText, sayNumber, sayVerdict, placesOf } from './say.js';
import { magnification } from './lobe_model.js';

var width = 1000, axisY = 150, lobeTop = 96;

/** A verdict as a shape: told apart without its colour. */
export function verdictMark(verdict, x, y, size, theme) {
  var s = size / 2, stroke = ' stroke="' + theme.ink + '" stroke-width="' + size / 9 + '"';
  if (verdict === 'reuse') {
    return '<path d="M' + (x - s) + ' ' + y + 'l' + 0.7 * s + ' ' + 0.8 * s + 'l' + 1.3 * s + ' ' + -1.5 * s + '" fill="none"' +
      stroke + ' stroke-linecap="round" stroke-linejoin="round"/>';
  }
  if (verdict === 'regrind') {
    return '<circle cx="' + x + '" cy="' + y + '" r="' + 0.9 * s + '" fill="none"' + stroke + ' stroke-dasharray="' + 0.5 * s + ' ' +
      0.3 * s + '"/><circle cx="' + x + '" cy="' + y + '" r="' + 0.3 * s + '" fill="' + theme.ink + '"/>';
  }
  if (verdict === 'scrap') {
    return '<path d="M' + (x - 0.8 * s) + ' ' + (y - 0.8 * s) + 'l' + 1.6 * s + ' ' + 1.6 * s + 'm0 ' + -1.6 * s + 'l' + -1.6 * s + ' ' +
      1.6 * s + '"' + stroke + ' stroke-linecap="round"/>';
  }
  return '<path d="M' + (x - 0.9 * s) + ' ' + y + 'h' + 1.8 * s + 'm' + -0.45 * s + ' ' + -0.45 * s + 'l' + 0.45 * s + ' ' + 0.45 * s + 'l' +
    -0.45 * s + ' ' + 0.45 * s + 'm' + -0.9 * s + ' 0l' + -0.45 * s + ' ' + -0.45 * s + 'l' + 0.45 * s + ' ' + -0.45 * s +
    '" fill="none"' + stroke + ' stroke-linecap="round" stroke-linejoin="round"/>';
}

function text(x, y, words, theme, size, more) {
  return '<text x="' + x.toFixed(1) + '" y="' + y.toFixed(1) + '" text-anchor="middle" font-size="' + size + '" fill="' + theme.ink + '"' +
    (more || '') + '>' + escapeText(words) + '</text>';
}

/** A wedge as high as the taper says: its thick end is the high side. */
function highSideMark(side, x, y, theme) {
  if (side !== 'front' && side !== 'rear') return text(x, y + 4, side === 'none' ? 'no taper' : '', theme, 11);
  var high = side === 'front' ? -11 : 11;
  return '<path d="M' + (x - high) + ' ' + (y + 5) + 'h' + 2 * high + 'v-10z" fill="' + theme.faint + '"/>';
}

function placedAlong(data) {
  var ends = [];
  data.places.forEach(function (p) { ends.push(p.z - p.width / 2, p.z + p.width / 2); });
  data.journals.forEach(function (j) { ends.push(j.z); });
  var from = Math.min.apply(null, ends), to = Math.max.apply(null, ends), room = to - from || 1;
  return function (z) { return 60 + (z - from) / room * (width - 120); };
}

/** How many times the wear is drawn, against the lobes' own height. */
export function camMagnification(data) {
  var lift = 0, wear = 0;
  data.lobes.forEach(function (lobe) {
    lift = Math.max(lift, lobe.figures.lift.used.value);
    wear = Math.max(wear, lobe.frontWear || 0, lobe.rearWear || 0);
  });
  return magnification(wear, 0.6 * lift);
}

function drawnLobe(lobe, place, x, perMm, times, theme) {
  var half = Math.max(9, Math.min(24, 0.5 * (x(place.z + place.width / 2) - x(place.z - place.width / 2))));
  var middle = x(place.z), left = middle - half, right = middle + half;
  var lift = lobe.figures.lift.reference ? lobe.figures.lift.reference.value : lobe.figures.lift.used.value;
  var top = axisY - 22 - perMm * lift;
  var front = top + perMm * times * Math.max(0, lobe.frontWear || 0), rear = top + perMm * times * Math.max(0, lobe.rearWear || 0);
  var id = 'lobe-' + lobe.index;
  var out = '<g class="drawn-lobe" data-lobe="' + lobe.index + '"><title>' + escapeText(lobe.name + ': ' + sayVerdict(lobe.verdict)) + '</title>';
  out += '<path d="M' + left + ' ' + top + 'H' + right + 'V' + rear + 'L' + left + ' ' + front + 'z" fill="url(#lost)" stroke="' +
    theme.metalEdge + '" stroke-dasharray="3 2"/>';
  out += '<path id="' + id + '" d="M' + left + ' ' + front + 'L' + right + ' ' + rear + 'V' + (axisY + 22) + 'H' + left + 'z" fill="' +
    theme.metal + '" stroke="' + theme.metalEdge + '" stroke-width="1.5"/>';
  out += text(middle, 200, lobe.name, theme, 16, ' font-weight="700"');
  out += highSideMark(lobe.figures.taper.high_side, middle, 216, theme);
  out += verdictMark(lobe.verdict, middle, 242, 20, theme);
  out += text(middle, 270, sayVerdict(lobe.verdict), theme, 13, lobe.verdict === 'reuse' ? '' : ' font-weight="700"');
  return out + '</g>';
}

export function camDrawing(data, look) {
  var theme = look.theme, x = placedAlong(data), times = camMagnification(data), lift = 0;
  data.lobes.forEach(function (lobe) {
    var figures = lobe.figures.lift;
    lift = Math.max(lift, figures.used.value, figures.reference ? figures.reference.value : 0);
  });
  var perMm = (lobeTop - 26) / (lift || 1), out = '';
  out += '<rect x="20" y="' + (axisY - 13) + '" width="960" height="26" rx="3" fill="' + theme.metal + '" stroke="' + theme.metalEdge + '"/>';
  data.journals.forEach(function (journal) {
    var at = x(journal.z);
    out += '<rect x="' + (at - 15).toFixed(1) + '" y="' + (axisY - 30) + '" width="30" height="60" rx="4" fill="' + theme.ground + '" stroke="' +
      theme.metalEdge + '" stroke-width="1.5"/>' + text(at, axisY + 5, journal.name, theme, 12);
  });
  data.lobes.forEach(function (lobe) { out += drawnLobe(lobe, data.places[lobe.index], x, perMm, times, theme); });
  out += '<text x="20" y="22" font-size="14" fill="' + theme.faint + '">front</text>' +
    '<text x="980" y="22" font-size="14" text-anchor="end" fill="' + theme.faint + '">rear</text>';
  var worn = data.lobes.some(function (lobe) { return lobe.frontWear !== null; });
  var scale = worn ? 'hatched: metal lost at the nose, drawn ' + sayNumber(times, 0) + ' times its size; ' : '';
  out += text(500, 22, scale + 'wedge: thick at the high side', theme, 13, ' fill-opacity="0.85"');
  return '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ' + width + ' 284" role="img" aria-label="' +
    escapeText('The cam from front to rear: ' + data.lobes.map(function (lobe) {
      return lobe.name + ' ' + sayVerdict(lobe.verdict) + (lobe.frontWear === null ? '' : ', nose wear ' +
        sayNumber(0.5 * (lobe.frontWear + lobe.rearWear), placesOf(look.units) - 1) + ' ' + look.units);
    }).join('; ')) + '" font-family="system-ui, DejaVu Sans, sans-serif">' +
    '<defs><pattern id="lost" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">' +
    '<rect width="6" height="6" fill="' + theme.paper + '"/><path d="M0 0V6" stroke="' + theme.rear + '" stroke-width="2.4"/></pattern></defs>' +
    (look.title ? '<rect width="100%" height="100%" fill="' + theme.paper + '"/>' : '') + out + '</svg>';
}
