// figures.js: the report's charts as SVG files, run by the engine inside the program: no browser, no clock.
import * as echarts from 'echarts/core';
import { BarChart, CustomChart, HeatmapChart, LineChart, ScatterChart } from 'echarts/charts';
import {
  GridComponent, LegendComponent, MarkAreaComponent, MarkLineComponent, TitleComponent, TooltipComponent, VisualMapComponent
} from 'echarts/components';
import { SVGRenderer } from 'echarts/renderers';
import { camDrawing } from './cam_drawing.js';
import { camCharts, lobeCharts, lobesOf } from './report_model.js';
import { light } from './theme.js';

echarts.use([BarChart, CustomChart, HeatmapChart, LineChart, ScatterChart, GridComponent, LegendComponent, MarkAreaComponent,
  MarkLineComponent, TitleComponent, TooltipComponent, VisualMapComponent, SVGRenderer]);

function drawn(chart, lobe, title, units) {
  var size = chart.square ? [560, 600] : [900, 380];
  var look = { theme: light, units: units, title: title, width: size[0], height: size[1] };
  var on = echarts.init(null, null, { renderer: 'svg', ssr: true, width: size[0], height: size[1] });
  on.setOption(chart.draw(lobe, look));
  var svg = on.renderToSVGString();
  on.dispose();
  return svg;
}

/** [[name, svg], ...] from the report's data as JSON text. */
global.lobewrightFigures = function (text) {
  var data = JSON.parse(text), lobes = lobesOf(data), units = data.result.units, out = [];
  data.lobes = lobes;
  out.push(['cam', camDrawing(data, { theme: light, units: units, title: true })]);
  camCharts(data, lobes).forEach(function (chart) {
    out.push([chart.key, drawn(chart, null, data.result.used.id + ': ' + chart.title.toLowerCase(), units)]);
  });
  lobes.forEach(function (lobe) {
    lobeCharts(lobe).forEach(function (chart) {
      out.push([lobe.name + '-' + chart.key, drawn(chart, lobe, data.result.used.id + ', lobe ' + lobe.name + ': ' + chart.title.toLowerCase(), units)]);
    });
  });
  return JSON.stringify(out);
};
