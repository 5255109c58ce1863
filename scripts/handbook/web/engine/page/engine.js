/** @typedef {"idle" | "loading" | "ready" | "failed"} State */

/**
 * @typedef {object} Question
 * @property {string} request
 * @property {(text: string) => void} resolve
 * @property {(error: Error) => void} reject
 */

/** From about so many on, answers come at their full speed. */
const REHEARSALS = 80;

/**
 * Python in the page: brought up once, in a worker, then asked one question after another.
 *
 * Nothing is fetched before `start()` or the first `ask()`. What is asked before the engine is up waits
 * its turn, through a failure and a retry too. Each change of state is told by a `change` event and by
 * calling `onchange`, if set; a `quiet` event tells that it neither comes up nor has anything to work out.
 */
class Engine extends EventTarget {
    /** @type {State} */
    state = "idle";

    /** Why it failed, in a sentence for the reader, and the first thing that went wrong. */
    /** @type {{ sentence: string, cause: unknown } | null} */
    problem = null;

    /** What kept the quick start from working, where the slow one was taken instead. */
    /** @type {unknown} */
    setback = null;

    /** @type {((state: State) => void) | null} */
    onchange = null;

    /** @type {Question[]} */
    #waiting = [];

    /** @type {Question | null} */
    #asked = null;

    /** @type {Line | null} */
    #line = null;

    #watch = new Watch();

    /** @type {string} */
    #base;

    /** @type {import("../packed").Packed} */
    #packed;

    /**
     * @param {string} base   address of the engine's folder, with its last slash
     * @param {import("../packed").Packed} packed
     */
    constructor(base, packed) {
        super();
        this.#base = base;
        this.#packed = packed;
    }

    /** Whether others may take up the device: it neither comes up nor has anything to work out. */
    get quiet() {
        const up = this.state === "ready";
        return this.state !== "loading" && !(up && (this.#asked || this.#waiting.length > 0));
    }

    /** Fetches and starts the engine, if nobody has yet. */
    start() {
        if (this.state === "idle") {
            this.#begin();
        }
    }

    /** Starts again after a failure. */
    retry() {
        if (this.state === "failed") {
            this.#begin();
        }
    }

    /** Starts it if nobody has, and resolves once it can be asked: after a failure and a retry, if need be. */
    async up() {
        this.start();
        while (this.state !== "ready") {
            await new Promise((changed) => this.addEventListener("change", changed, { once: true }));
        }
    }

    /**
     * One reply to each request, in the order asked. Rejects only where this very request broke the engine
     * or the code behind it.
     * @param {string} request   JSON text
     * @returns {Promise<string>}   JSON text
     */
    ask(request) {
        this.start();
        return new Promise((resolve, reject) => {
            this.#waiting.push({ request, resolve, reject });
            this.#next();
        });
    }

    /**
     * Works this out a few times while nobody asks for anything. A browser runs Python slowly until it has
     * compiled what runs most, which it begins only once that has run a while.
     * @param {string} request   JSON text
     */
    async rehearse(request) {
        for (let times = 0; times < REHEARSALS && this.state === "ready" && this.quiet; times += 1) {
            await Engine.prototype.ask.call(this, request);
        }
    }

    async #begin() {
        this.problem = null;
        this.setback = null;
        this.#enter("loading");
        const supply = location.protocol === "file:"
            ? new Folder(this.#base, this.#packed, this.#watch)
            : new Hosted(this.#base, this.#packed, this.#watch);
        try {
            this.#line = await this.#bringUp(supply);
            this.#line.onbreak = (error) => this.#fail(error);
            this.#enter("ready");
        } catch (error) {
            supply.line?.close();
            this.#fail(error);
        }
        this.#next();
    }

    /**
     * A line to a worker in which Python runs: from the snapshot or, where that cannot be had or does not
     * start, without it. An address that ends in `?engine=plain` leaves the snapshot out from the first.
     * @param {Supply} supply
     * @returns {Promise<Line>}
     */
    async #bringUp(supply) {
        if (new URLSearchParams(location.search).get("engine") !== "plain") {
            try {
                return await this.#watch.guard(supply.bringUp(false));
            } catch (error) {
                if (!isSetback(error)) {
                    throw error;
                }
                this.setback = error;
                supply.line?.close();
            }
        }
        return this.#watch.guard(supply.bringUp(true));
    }

    /** Sends the next question, if the engine is free. */
    async #next() {
        const line = this.#line;
        if (this.state !== "ready" || !line || this.#asked) {
            return;
        }
        const question = this.#waiting.shift();
        if (!question) {
            this.#tellQuiet();
            return;
        }
        this.#asked = question;
        try {
            question.resolve(await line.tell({ type: "run", request: question.request }));
        } catch (error) {
            question.reject(new Error(SENTENCES.broke, { cause: error }));
            if (!(error instanceof Refusal && error.standing)) {
                this.#asked = null;
                this.#fail(error);
                return;
            }
        }
        this.#asked = null;
        this.#next();
    }

    /** @param {unknown} cause */
    #fail(cause) {
        if (this.state === "failed") {
            return;
        }
        this.#line?.close();
        this.#line = null;
        this.problem = { sentence: sentence(cause), cause };
        this.#enter("failed");
        this.#tellQuiet();
    }

    /** Once whoever was answered has shown it. */
    #tellQuiet() {
        window.setTimeout(() => {
            if (this.quiet) {
                this.dispatchEvent(new Event("quiet"));
            }
        });
    }

    /** @param {State} state */
    #enter(state) {
        this.state = state;
        this.onchange?.(state);
        this.dispatchEvent(new Event("change"));
    }
}

/**
 * Whether a start without the snapshot may still succeed where one with it ended like this.
 * @param {unknown} error
 */
function isSetback(error) {
    if (error instanceof Missing) {
        return error.part === "snapshot";
    }
    return !(error instanceof Stall && error.stage === "fetching");
}
