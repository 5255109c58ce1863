/** What a watched wait ends with when nothing moves any more. */
class Stall extends Error {}

/**
 * Watches for a start that has stopped moving. What counts is silence, not time in all: a slow line that
 * still brings bytes may take as long as it likes. Silence is counted in ticks of a timer, so that a
 * computer that slept does not wake up to a failure.
 */
class Watch {
    constructor() {
        this.silence = 0;
    }

    /** Something moved. */
    progress() {
        this.silence = 0;
    }

    /**
     * The same promise, which also rejects with a `Stall` after so many seconds without progress.
     * @template Result
     * @param {Promise<Result>} promise
     * @param {number} seconds
     * @param {string} what   for the message
     * @returns {Promise<Result>}
     */
    async guard(promise, seconds, what) {
        this.silence = 0;
        let timer = 0;
        const stall = new Promise((_, reject) => {
            timer = window.setInterval(() => {
                this.silence += 1;
                if (this.silence >= seconds) {
                    reject(new Stall(`${what}: nothing moved for ${seconds} seconds`));
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
