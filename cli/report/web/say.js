// say.js: numbers and names as people read them. Plain ES5: the figures are drawn without a browser, too.

/** Places after the point that show two digits of an uncertainty; what has none is shown to `otherwise` places. */
export function decimalsOf(u95, otherwise) {
  if (!(u95 > 0)) return otherwise;
  return Math.max(0, Math.min(6, 1 - Math.floor(Math.log(u95) / Math.LN10 + 1e-9)));
}

/** "0.0206 ± 0.0031", or a dash for what can't be known. */
export function sayFigure(figure, otherwise) {
  if (!figure || figure.value === null) return '–';
  var places = decimalsOf(figure.u95, otherwise);
  var value = sayNumber(figure.value, places);
  return figure.u95 === null ? value : value + ' ± ' + figure.u95.toFixed(places);
}

/** A minus as long as a plus is, and none before nothing. */
export function sayNumber(value, places) {
  if (value === null || value === undefined || !isFinite(value)) return '–';
  var text = value.toFixed(places);
  if (Number(text) === 0) text = text.replace('-', '');
  return text.replace('-', '−');
}

/** Places at which a length in this unit is shown in charts: a tenth of a micrometre. */
export function placesOf(units) {
  return units === 'in' ? 5 : 4;
}

/** Any text as the text of a page or drawing. */
export function escapeText(text) {
  return String(text).replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;')
    .replace(/"/g, '&quot;').replace(/'/g, '&#39;');
}

var verdictWords = { reuse: 'reuse', regrind: 'regrind', scrap: 'scrap', remeasure: 'measure again' };

export function sayVerdict(verdict) {
  return verdictWords[verdict] || verdict;
}
