// The stages of the job, in shop order, as the core lists them.
import { core } from './core.js';

/** @type {{ stage: string, short: string, question: string, hands: string[] }[]} */
let cards;

/** What each stage is called and asks; there once the core is. */
export const job = () => (cards ??= core.job());

/** The names of the stages. */
export const stages = () => job().map(({ stage }) => stage);
