/** A worker fetches its own parts: the page's thread is at its busiest while they come. */

/** The browser's own, which Python will not find. */
const fetchFile = self.fetch.bind(self);

/** Between two words to the page that bytes came (ms): it only has to know that they still do. */
const PACE = 250;

let lastTold = 0;

/** @param {import("./messages").Stage} [stage]   the one that begins, if one does */
function tellProgress(stage) {
    /** @type {import("./messages").Progress} */
    const message = { type: "progress", stage };
    self.postMessage(message);
}

/**
 * Passes bytes on and tells the page, now and then, that they came.
 * @returns {TransformStream<Uint8Array<ArrayBuffer>, Uint8Array<ArrayBuffer>>}
 */
function watching() {
    return new TransformStream({
        transform(piece, next) {
            if (performance.now() - lastTold > PACE) {
                lastTold = performance.now();
                tellProgress();
            }
            next.enqueue(piece);
        },
    });
}

/**
 * @template Result
 * @param {import("../packed").Part} part
 * @param {string} name   of its file, beside this worker's
 * @param {(stream: ReadableStream<Uint8Array<ArrayBuffer>>) => Promise<Result>} read
 * @returns {Promise<Result>}   rejects with a `Missing`
 */
async function fetched(part, name, read) {
    let response;
    try {
        response = await fetchFile(new URL(name, self.location.href));
    } catch (error) {
        throw new Missing(`“${name}” could not be fetched from the host.`, part, { cause: error });
    }
    if (!response.ok || !response.body) {
        throw new Missing(`“${name}” could not be fetched: the host answered ${response.status}.`, part);
    }
    try {
        return await read(response.body.pipeThrough(watching()));
    } catch (error) {
        throw new Missing(`“${name}” came cut short, or is not what it should be.`, part, { cause: error });
    }
}
