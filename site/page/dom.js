// Makes elements: no markup in strings, no inline style.

const SVG = 'http://www.w3.org/2000/svg';

/**
 * An element with attributes and children. `on` holds listeners; `value`, `checked` and `hidden` are set as
 * properties; an attribute that is null, undefined or false is left out, one that is true is empty.
 * @param {string} tag
 * @param {Record<string, any>} [attributes]
 * @param {...(Node | string | null | undefined | false)} children
 * @returns {any}
 */
export function h(tag, attributes = {}, ...children) {
  return fill(document.createElement(tag), attributes, children);
}

/** The same for drawings. @returns {any} */
export function svg(tag, attributes = {}, ...children) {
  return fill(document.createElementNS(SVG, tag), attributes, children);
}

function fill(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (name === 'on') {
      for (const [event, listener] of Object.entries(value)) element.addEventListener(event, listener);
    } else if (name === 'value' || name === 'checked' || name === 'hidden') {
      element[name] = value;
    } else if (value !== null && value !== undefined && value !== false) {
      element.setAttribute(name, value === true ? '' : value);
    }
  }
  element.append(...children.filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

/** Sets the text when it differs, and tells whether it did. */
export function write(element, text) {
  if (element.textContent === text) return false;
  element.textContent = text;
  return true;
}

/** A link to an entry of this page: it opens what holds the entry and leaves the address as it is. */
export function linkTo(path, text, go) {
  return h('a', { href: `#${idFor(path)}`, class: 'link', on: { click(event) { event.preventDefault(); go(path); } } }, text);
}

/** A name for an element that belongs to a path of the plan. */
export const idFor = (path) => `at-${path.replace(/[^a-z0-9_]+/gi, '-')}`;

/** Whether the reader wants things to stay still. */
export const still = () => matchMedia('(prefers-reduced-motion: reduce)').matches;

/** A brief settling of a figure that has changed. */
export function settle(element) {
  if (!still() && element.animate) element.animate([{ opacity: 0.35 }, { opacity: 1 }], { duration: 260, easing: 'ease-out' });
}

/** Brings an element into view, its label first, and gives it the focus. */
export function goTo(element) {
  if (!element) return;
  const seen = element.closest('.entry, .stage, .row') ?? element;
  seen.scrollIntoView({ block: 'start', behavior: still() ? 'auto' : 'smooth' });
  element.focus({ preventScroll: true });
}
