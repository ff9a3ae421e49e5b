// The resin setting in the part: when it comes off, what decides, hardness and temperatures, after the fill, post-cures, proof.
import { chartView } from './chart.js';
import { spread, table } from './damp.js';
import { h, write } from './dom.js';
import { figuresIn, sentences } from './pots.js';

/** The glass transition after so many days. */
export const laterTable = ({ later }) => table('How hard it gets with time', ['After', 'Glass transition'], later.map(({ after, tg }) => [after, spread(tg.text, tg.range)]));

/** Post-cures beside each other. */
export const postTable = ({ posts }) => table('Post-cures side by side', ['In the oven', 'Glass transition', 'Warm up no faster than', 'Cold to cold'],
  posts.map(({ name, tg, fastest, takes }) => [name, ...[tg, fastest, takes].map(({ text, range }) => spread(text, range))]));

const STANDS = { yes: 'stands it', likely: 'likely stands it', no: 'does not stand it' };

/** States of cure held against the service. */
export const serviceTable = ({ rows }) => table('What stands the service', ['Cured', 'Glass transition', ''],
  rows.map(({ name, tg, stands }) => [name, spread(tg.text, tg.range), STANDS[stands] ?? '']));

/** Fills in the cure. */
export function settingIn(places, hooks) {
  const decides = h('p', { class: 'told' });
  const afterTold = h('p', {});
  const order = h('div', {});
  const afterPlace = h('div', { class: 'figures' });
  const after = h('div', { hidden: true }, h('h3', {}, 'After the fill'), order, afterPlace, afterTold);
  const hardness = chartView();
  const proof = h('div', {});
  const proven = h('div', {}, h('h3', {}, 'How to tell that it has set'), proof);
  const all = h('div', { hidden: true }, decides, after, hardness.el, proven);
  places.section.append(all);

  const [warms, another, postTold] = [h('p', {}), h('p', {}), h('p', { class: 'told' })];
  const own = h('div', { class: 'figures' });
  const temperatures = chartView();
  const programme = h('div', {});
  const heat = h('details', {}, h('summary', {}, 'Temperatures while it sets'), programme, temperatures.el);
  const later = h('div', { class: 'tables' });
  const postPlace = h('div', { class: 'figures' });
  const postChart = chartView();
  const post = h('div', { hidden: true }, h('h3', {}, 'The post-cure you ask for'), postTold, postPlace, postChart.el);
  const posts = h('div', { class: 'tables' });
  const serviceTold = h('p', { class: 'told' });
  const servicePlace = h('div', { class: 'figures' });
  const stands = h('div', { class: 'tables' });
  const service = h('div', { hidden: true }, h('h3', {}, 'In service'), serviceTold, servicePlace, stands);
  const other = h('div', { hidden: true }, warms, own, heat, later, another, post, posts, service);
  places.polar.append(other);

  const draw = {
    after: figuresIn(afterPlace, ['even_out_min', 'left_min'], hooks), own: figuresIn(own, ['peak_c', 'gel_h', 'vitrifies_h'], hooks),
    service: figuresIn(servicePlace, ['part_c', 'needed_c', 'stiffness_left_pct', 'gives_mm'], hooks), post: figuresIn(postPlace, ['tg_c', 'lead_k', 'fastest_k_h'], hooks),
  };
  let drawn = '';
  return {
    update(cure, sheet) {
      const setting = (cure && sheet?.setting) ?? null;
      for (const part of [all, other]) part.hidden = !setting && !part.contains(document.activeElement);
      if (!setting) return;
      write(decides, setting.decides);
      write(warms, setting.warms);
      write(another, setting.another_day);
      draw.own(setting, sheet);
      hardness.update(setting.hardness);
      temperatures.update(setting.temperatures);
      after.hidden = !setting.after_fill;
      if (setting.after_fill) {
        write(afterTold, setting.after_fill.sentence);
        draw.after(setting.after_fill, sheet);
      }
      post.hidden = !setting.post;
      if (setting.post) {
        write(postTold, setting.post.sentence);
        draw.post(setting.post, sheet);
        postChart.update(setting.post.chart);
      }
      service.hidden = !setting.service;
      if (setting.service) {
        write(serviceTold, setting.service.sentence);
        draw.service(setting.service, sheet);
      }
      const now = JSON.stringify([setting.service?.rows, setting.after_fill?.order, setting.programme, setting.later, setting.posts, setting.proof]);
      if (now === drawn) return;
      drawn = now;
      order.replaceChildren(...[sentences(setting.after_fill?.order, 'ol')].filter(Boolean));
      programme.replaceChildren(...[sentences(setting.programme)].filter(Boolean));
      proof.replaceChildren(...[sentences(setting.proof)].filter(Boolean));
      proven.hidden = !proof.firstChild;
      later.replaceChildren(...(setting.later.length ? [laterTable(setting)] : []));
      stands.replaceChildren(...(setting.service ? [serviceTable(setting.service)] : []));
      posts.replaceChildren(...(setting.posts.length ? [postTable(setting)] : []));
    },
  };
}
