// @ts-check
// Runs in a worker of its own, so that no page is held up while something is computed.

import { service } from './service.js';

const hear = service((report) => self.postMessage(report));
self.addEventListener('message', (/** @type {MessageEvent<import('./service.js').Order>} */ { data }) => hear(data));
