/** What the browser and the pages ask of the service worker. */

/** @param {Whole | undefined | null} build */
function told(build) {
    return build ? { build: build.list.build, date: build.list.date, bytes: roomOf(build.own) } : null;
}

/** @returns {Promise<import("./messages").State>} */
async function state() {
    const used = await inUse();
    const newest = (await wholeBuilds()).at(-1);
    const waiting = newest && newest.name !== used?.name ? newest : null;
    return { type: "state", using: told(used), waiting: told(waiting), storing: progress, trouble };
}

/** The pages of the book that are open. */
async function pages() {
    const all = await book.clients.matchAll({ type: "window", includeUncontrolled: true });
    return all.filter(({ url }) => url.startsWith(ROOT));
}

async function tellState() {
    const now = await state();
    (await pages()).forEach((one) => one.postMessage(now));
}

/** How long (ms) a page has to say whether it is in use. */
const ANSWERS_WITHIN = 2000;

/** What stands for a page that does not say so. */
const SILENT = "?";

/**
 * What is going on in a page: the name of what the reader is in the middle of, an empty text, or `SILENT`.
 * @param {Client} one
 * @returns {Promise<string>}
 */
function occupation(one) {
    const { port1, port2 } = new MessageChannel();
    return new Promise((resolve) => {
        setTimeout(() => resolve(SILENT), ANSWERS_WITHIN);
        port1.onmessage = ({ data }) => resolve(String(data));
        one.postMessage({ type: "occupied?" }, [port2]);
    });
}

/**
 * Lets the older builds go, so that the newest is in use; but not while another page is in the middle of
 * something, for no page may find itself between two builds.
 * @param {string} asker   the id of the page that wants it
 * @param {boolean} silentCounts   whether a page that does not answer is taken to be in the middle of something
 * @returns {Promise<string[]>}   who is in the middle of something, if it was not done
 */
async function useNewest(asker, silentCounts) {
    const others = (await pages()).filter(({ id }) => id !== asker);
    const occupied = (await Promise.all(others.map(occupation)))
        .filter((name) => name !== "" && (silentCounts || name !== SILENT));
    if (occupied.length > 0) {
        return occupied;
    }
    const newest = (await wholeBuilds()).at(-1);
    if (newest) {
        await dropBuilds(({ name }) => name !== newest.name);
    }
    // Where this worker is itself a new one that waits, the reader has now said so.
    await book.skipWaiting();
    await tellState();
    return [];
}

/** @param {Client} asker */
async function use(asker) {
    const by = await useNewest(asker.id, true);
    if (by.length > 0) {
        asker.postMessage({ type: "held", by });
    }
}

async function forget() {
    await dropBuilds(() => true);
    await book.registration.unregister();
    await tellState();
}

/** @type {Record<string, (asker: Client, asked: import("./messages").Asked) => Promise<void>>} */
const DUTIES = {
    state: tellState,
    store,
    use,
    forget,
};

book.addEventListener("message", (event) => {
    const duty = DUTIES[event.data?.type];
    if (duty && event.source instanceof Client) {
        event.waitUntil(duty(event.source, event.data));
    }
});

book.addEventListener("fetch", (event) => {
    const { request, resultingClientId } = event;
    const path = pathOf(request.url);
    if (request.method !== "GET" || path === null || path === LIST) {
        return;
    }
    const wantsNewest = request.mode === "navigate" && new URL(request.url).search === NEWEST;
    // Asked for by a page that stands where the book could not: it has no script that would answer.
    event.respondWith(wantsNewest
        ? useNewest(resultingClientId, false).then(() => answered(request, path))
        : answered(request, path));
});
