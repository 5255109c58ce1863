/**
 * Stands in for the book's service worker in a preview. Where a browser has stored the book from this very
 * address before, it would go on showing that; so this takes the worker's place, lets every page go, and goes.
 */
(() => {
    "use strict";

    /**
     * What a service worker has, as far as it is needed here.
     * @typedef {EventTarget & {
     *     skipWaiting(): Promise<void>,
     *     registration: ServiceWorkerRegistration,
     *     clients: { matchAll(): Promise<{ url: string, navigate(url: string): Promise<unknown> }[]> },
     * }} Worker
     * @typedef {Event & { waitUntil(work: Promise<unknown>): void }} Stage
     */

    const worker = /** @type {Worker} */ (/** @type {unknown} */ (self));

    async function leave() {
        const pages = await worker.clients.matchAll();
        await worker.registration.unregister();
        for (const page of pages) {
            await page.navigate(page.url);
        }
    }

    worker.addEventListener("install", (event) => /** @type {Stage} */ (event).waitUntil(worker.skipWaiting()));
    worker.addEventListener("activate", (event) => /** @type {Stage} */ (event).waitUntil(leave()));
})();
