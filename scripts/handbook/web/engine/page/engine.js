/** Seconds without any movement after which a wait is given up. A slow line that still moves is not silent. */
const PATIENCE = { fetching: 30, snapshot: 30, plain: 120 };

/** @typedef {"idle" | "loading" | "ready" | "failed"} State */

/**
 * @typedef {object} Question
 * @property {string} request
 * @property {(text: string) => void} resolve
 * @property {(error: Error) => void} reject
 */

/**
 * Python in the page: brought up once, in a worker, then asked one question after another.
 *
 * Nothing is fetched before `start()` or the first `ask()`. What is asked before the engine is up waits
 * its turn, through a failure and a retry too. Each change of state is told by a `change` event and by
 * calling `onchange`, if set.
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
            supply.opened?.close();
            this.#fail(error);
        } finally {
            supply.stop();
        }
        this.#next();
    }

    /**
     * A line to a worker in which Python runs: from the snapshot or, where that cannot be had or does not
     * start, without it. An address that ends in `?engine=plain` leaves the snapshot out from the first.
     * @param {Hosted | Folder} supply
     * @returns {Promise<Line>}
     */
    async #bringUp(supply) {
        const plain = new URLSearchParams(location.search).get("engine") === "plain";
        const opening = supply.line();
        const { port1, port2 } = new MessageChannel();
        const unpacking = plain ? Promise.resolve() : supply.snapshot(port1);
        unpacking.catch(() => {}); // looked at further down
        const parts = Promise.all([supply.module(), supply.stdlib(), supply.calc(), opening]);
        const [module, stdlib, calc, line] = await this.#watch.guard(parts, PATIENCE.fetching, "fetching");
        /** @type {(snapshot: MessagePort | null) => object} */
        const init = (snapshot) => ({
            type: "init", module, stdlib, calc, snapshot, size: this.#packed.sizes.snapshot,
            start: this.#packed.start,
        });
        if (plain) {
            await this.#watch.guard(line.tell(init(null)), PATIENCE.plain, "starting");
            return line;
        }
        try {
            // The worker readies Python's program while the snapshot is still on its way.
            const starting = line.tell(init(port2), [port2]);
            starting.catch(() => {});
            await this.#watch.guard(unpacking, PATIENCE.fetching, "fetching the snapshot");
            await this.#watch.guard(starting, PATIENCE.snapshot, "starting from the snapshot");
            return line;
        } catch (error) {
            this.setback = error;
            line.close();
        }
        const fresh = await supply.line();
        await this.#watch.guard(fresh.tell(init(null)), PATIENCE.plain, "starting without the snapshot");
        return fresh;
    }

    /** Sends the next question, if the engine is free. */
    async #next() {
        const line = this.#line;
        if (this.state !== "ready" || !line || this.#asked) {
            return;
        }
        const question = this.#waiting.shift();
        if (!question) {
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
    }

    /** @param {State} state */
    #enter(state) {
        this.state = state;
        this.onchange?.(state);
        this.dispatchEvent(new Event("change"));
    }
}
