/** Runs before a page's own scripts: notes from the first moment what blocks its thread, and when it answers. */
(() => {
    "use strict";

    /** @type {PerformanceEntry[]} */
    const blocks = [];
    const blocking = new PerformanceObserver((list) => { blocks.push(...list.getEntries()); });
    blocking.observe({ type: "longtask", buffered: true });

    window.furrowbookWatch = {
        controlled: Boolean(navigator.serviceWorker?.controller),

        afterPaint(then) {
            requestAnimationFrame(() => {
                // The next task comes after the frame that this one belongs to.
                const { port1, port2 } = new MessageChannel();
                port1.onmessage = () => then(performance.now());
                port2.postMessage(null);
            });
        },

        noteAnswer(root, selector) {
            const look = () => {
                const shown = root.querySelector(selector)?.textContent?.trim();
                if (shown) {
                    const at = performance.now();
                    looking.disconnect();
                    this.afterPaint((painted) => { window.furrowbookMeasured = { at, shown, painted }; });
                }
            };
            const looking = new MutationObserver(look);
            looking.observe(root, { childList: true, subtree: true, characterData: true });
        },

        longestUntil(moment) {
            blocks.push(...blocking.takeRecords());
            return Math.max(0, ...blocks.filter((one) => one.startTime < moment).map((one) => one.duration));
        },
    };
})();
