// What the stated load does to the part: the answer, what gives way first, its figures, what it rests on.
import { h, write } from './dom.js';
import { figure } from './figure.js';

/** Keeps the answer to the load up to date. */
export function loadView(hooks) {
  const sentence = h('p', { class: 'told' });
  const weakest = h('p', {});
  const lasting = h('p', {});
  const figures = h('div', { class: 'figures' });
  const rests = h('p', { class: 'read-as' });
  const el = h('div', { class: 'load', hidden: true }, sentence, weakest, lasting, figures, rests);
  const made = new Map();
  return {
    el,
    update(load, sheet) {
      el.hidden = !load && !el.contains(document.activeElement);
      if (!load) return;
      write(sentence, load.sentence);
      write(weakest, `Gives way first: ${load.weakest}`);
      write(lasting, load.lasting);
      write(rests, load.rests_on);
      for (const [name, { el: place }] of made) place.hidden = !load[name]?.shown;
      for (const name of Object.keys(load).filter((key) => load[key]?.shown)) {
        if (!made.has(name)) {
          made.set(name, figure(hooks));
          figures.append(made.get(name).el);
        }
        made.get(name).update(load[name], sheet);
      }
    },
  };
}
