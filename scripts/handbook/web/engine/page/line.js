/** A reply that says no. `standing` tells whether the engine can still be asked. */
class Refusal extends Error {
    /**
     * @param {string} problem
     * @param {boolean} standing
     */
    constructor(problem, standing) {
        super(problem);
        this.standing = standing;
    }
}

/** The line to a worker: one message out, one reply back, and word of it if the worker breaks. */
class Line {
    /** What broke it, once it is broken. */
    /** @type {Error | null} */
    broken = null;

    /** @type {((error: Error) => void) | null} */
    onbreak = null;

    /** Told of whatever moves while a reply is being waited for. */
    /** @type {((stage?: import("../worker/messages").Stage) => void) | null} */
    onprogress = null;

    /** @type {{ resolve: (text: string) => void, reject: (error: Error) => void } | null} */
    #pending = null;

    /** @param {Worker} worker */
    constructor(worker) {
        this.worker = worker;
        worker.onmessage = ({ data }) => {
            if (data.type === "progress") {
                this.onprogress?.(data.stage);
                return;
            }
            const pending = this.#pending;
            this.#pending = null;
            if (data.ok) {
                pending?.resolve(data.text);
            } else {
                pending?.reject(data.part === null
                    ? new Refusal(data.problem, data.standing)
                    : new Missing(data.problem, data.part));
            }
        };
        worker.onmessageerror = () => this.#break(new Refusal("a message could not be read", false));
        worker.onerror = (event) => {
            // A worker whose script did not load says nothing at all.
            this.#break(event.message
                ? new Refusal(event.message, false)
                : Missing.program());
        };
    }

    /**
     * @param {object} message
     * @param {Transferable[]} [handedOver]
     * @returns {Promise<string>}
     */
    tell(message, handedOver = []) {
        return new Promise((resolve, reject) => {
            if (this.broken) {
                reject(this.broken);
                return;
            }
            this.#pending = { resolve, reject };
            this.worker.postMessage(message, handedOver);
        });
    }

    close() {
        this.worker.terminate();
    }

    /** @param {Error} error */
    #break(error) {
        this.broken ??= error;
        const pending = this.#pending;
        this.#pending = null;
        if (pending) {
            pending.reject(error);
        } else {
            this.onbreak?.(error);
        }
    }
}
