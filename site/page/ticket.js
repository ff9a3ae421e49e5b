// The ticket: its stages in shop order, what to measure first, and the strip at the foot.
import { goTo, h, linkTo, settle, still, write } from './dom.js';
import { job } from './job.js';
import { stageSection } from './stage.js';

/**
 * @param {{ stages: HTMLElement, strip: HTMLElement, first: HTMLElement, rules: HTMLElement }} places
 * @param {(stage: string) => HTMLElement[]} entriesOf
 * @param {{ goToInput: (key: string) => void, entryLabel: (key: string) => string | null, hasEntry: (key: string) => boolean, remember: (stage: string, open: boolean) => void, wasOpen: (stage: string) => boolean }} hooks
 */
export function ticket(places, entriesOf, hooks) {
  const sections = new Map(job().map((card) => [card.stage, stageSection(card, entriesOf, hooks)]));
  places.stages.replaceChildren(...[...sections.values()].map(({ el }) => el));
  for (const [name, section] of sections) if (hooks.wasOpen(name)) section.open(true);

  function goToStage(name) {
    const section = sections.get(name);
    if (!section || section.el.hidden) return;
    section.open(true);
    section.el.scrollIntoView({ block: 'start', behavior: still() ? 'auto' : 'smooth' });
    section.head.focus({ preventScroll: true });
  }

  function strip(items) {
    const links = [...places.strip.querySelectorAll('a')];
    if (links.length !== items.length) {
      places.strip.replaceChildren(...items.map(() => h('a', {}, h('span', { class: 'label' }), h('span', { class: 'text' }), h('span', { class: 'range' }))));
      return strip(items);
    }
    items.forEach(({ stage, label, text, range }, at) => {
      const link = links[at];
      link.setAttribute('href', `#stage-${stage}`);
      link.onclick = (event) => { event.preventDefault(); goToStage(stage); };
      const [name, figure, span] = link.children;
      write(name, label);
      write(span, range);
      const before = figure.textContent;
      if (write(figure, text) && before) settle(figure);
    });
    return undefined;
  }

  return {
    goToStage,
    /** Opens the stage that holds an element, then goes there. */
    reveal(element) {
      const holder = element?.closest('.stage');
      if (holder) sections.get(holder.id.replace('stage-', ''))?.open(true);
      for (let around = element?.closest('details'); around; around = around.parentElement?.closest('details')) around.open = true;
      goTo(element);
    },
    update(sheet) {
      places.strip.hidden = !sheet;
      if (!sheet) {
        for (const section of sections.values()) section.update(null, null);
        places.first.replaceChildren();
        return;
      }
      strip(sheet.strip);
      write(places.rules, sheet.comes_first);
      for (const [name, section] of sections) section.update(sheet[name], sheet);
      const first = sheet.measure_first;
      places.first.replaceChildren(...(first ? [
        h('p', {}, h('strong', {}, 'Measure this first: '), first.sentence, ' ',
          hooks.entryLabel(first.input) !== null && linkTo(first.input, 'Go to the entry', hooks.goToInput)),
      ] : []));
    },
  };
}
