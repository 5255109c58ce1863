/**
 * Seconds without any movement after which a wait is given up, at each stage of a start. A slow line that
 * still moves is not silent, but Python on its way up without the snapshot is, and for long on a small phone.
 */
const PATIENCE = { fetching: 30, unpacking: 30, waking: 30, starting: 120 };

/** @typedef {import("../worker/messages").Stage} Stage */

/** What a watched wait ends with when nothing moves any more. */
class Stall extends Error {
    /** @param {Stage} stage */
    constructor(stage) {
        super(`${stage}: nothing moved for ${PATIENCE[stage]} seconds`);
        this.stage = stage;
    }
}

/**
 * Watches for a start that has stopped moving. What counts is silence, not time in all: a slow line that
 * still brings bytes may take as long as it likes. Silence is counted in ticks of a timer, so that a
 * computer that slept does not wake up to a failure.
 */
class Watch {
    /** @type {Stage} */
    #stage = "fetching";

    #silence = 0;

    /**
     * Something moved.
     * @param {Stage} [stage]   the one that begins, if one does
     */
    progress(stage = this.#stage) {
        this.#stage = stage;
        this.#silence = 0;
    }

    /**
     * The same promise, which also rejects with a `Stall` when nothing has moved for too long.
     * @template Result
     * @param {Promise<Result>} promise
     * @returns {Promise<Result>}
     */
    async guard(promise) {
        this.progress("fetching");
        let timer = 0;
        const stall = new Promise((_, reject) => {
            timer = window.setInterval(() => {
                this.#silence += 1;
                if (this.#silence >= PATIENCE[this.#stage]) {
                    reject(new Stall(this.#stage));
                }
            }, 1000);
        });
        try {
            return await Promise.race([promise, /** @type {Promise<never>} */ (stall)]);
        } finally {
            window.clearInterval(timer);
        }
    }
}
