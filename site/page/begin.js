// Starts loading the core while the rest of the page is still on its way.
import { load } from './core.js';

// Who needs it hears of trouble.
load().catch(() => {});
