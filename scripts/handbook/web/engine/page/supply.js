/** Where the parts of the engine come from. */
class Supply {
    /** The line to the latest worker. */
    /** @type {Line | null} */
    line = null;

    /**
     * @param {string} base   address of the engine's folder, with its last slash
     * @param {import("../packed").Packed} packed
     * @param {Watch} watch
     */
    constructor(base, packed, watch) {
        this.base = base;
        this.packed = packed;
        this.watch = watch;
    }

    /**
     * A line to a new worker in which Python runs. The watch is told how it goes.
     * @abstract
     * @param {boolean} _plain   whether to start without the snapshot
     * @returns {Promise<Line>}
     */
    async bringUp(_plain) {
        throw new Error("each kind of supply has its own");
    }

    /**
     * @param {Worker} worker
     * @returns {Line}
     */
    connect(worker) {
        this.line = new Line(worker);
        return this.line;
    }

    /**
     * @template Given
     * @param {Given} given
     * @returns {import("../worker/messages").Init<Given>}
     */
    init(given) {
        return { type: "init", start: this.packed.start, given };
    }
}
