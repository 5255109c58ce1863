/**
 * Notes when the worked example that comes with the page was painted: the end of the first frame with all of
 * it in the page, or the browser's own first contentful paint where that is later.
 */
(() => {
    "use strict";

    /** @type {Promise<number>} */
    const firstPaint = new Promise((resolve) => {
        new PerformanceObserver((list) => {
            const [entry] = list.getEntriesByName("first-contentful-paint");
            if (entry) {
                resolve(entry.startTime);
            }
        }).observe({ type: "paint", buffered: true });
    });
    const reading = new MutationObserver(() => {
        // Once what follows the example has begun, it is there to its end.
        if (document.querySelector(".fb-example + *")) {
            reading.disconnect();
            window.furrowbookWatch.afterPaint(async (painted) => {
                window.furrowbookExample = Math.max(painted, await firstPaint);
            });
        }
    });
    reading.observe(document, { childList: true, subtree: true });
})();
