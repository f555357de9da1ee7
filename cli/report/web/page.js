// page.js: the page that the data asks for.
import { buildCamReport } from './cam_report.js';
import { buildCardPage } from './card_page.js';
import { lookButton, watchCharts } from './chart_slots.js';
import { el } from './dom.js';
import { buildHistoryPage } from './history_page.js';
import { buildRegrindPage } from './regrind_page.js';
import { buildStudyPage } from './study_page.js';

const builders = {
  'lobewright-compare/1': buildCamReport, 'lobewright-inspect/1': buildCamReport, 'lobewright-regrind/1': buildRegrindPage,
  'lobewright-history/1': buildHistoryPage, 'lobewright-card/1': buildCardPage,
  'lobewright-study-summary/1': buildStudyPage
};

const data = JSON.parse(document.getElementById('data').textContent);
const main = el('main', {});
document.getElementById('report').append(lookButton(), main);
builders[data.result.format](main, data);
watchCharts();
document.documentElement.dataset.ready = 'yes';
